"""The sample page in the shapes that people give a page by hand; each says what it said before."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

PAGE = (Path(__file__).parent / "data" / "page_two_post.toml").read_text("utf-8")


def _sub_tables(text: str) -> str:
    """Give three owners a table of their own under [record]."""
    head, record = text.split("[record]\n")
    record, kinds = record.split("# ---- the kinds")
    for owner in ("post-l", "bar", "kick"):
        own = re.findall(rf"^{owner}\.(?!dial)(.*\n)\n", record, re.MULTILINE)
        dials = re.findall(rf"^{owner}\.dial\.(.*\n)\n", record, re.MULTILINE)
        record = re.sub(rf"^{owner}\..*\n\n", "", record, flags=re.MULTILINE)
        record += f"[record.{owner}]\n{''.join(own)}"
        if dials:
            record += f"[record.{owner}.dial]\n{''.join(dials)}"
        record += "\n"
    return f"{head}[record]\n{record}# ---- the kinds{kinds}"


def _no_record_header(text: str) -> str:
    """Give every owner a table of its own, and the record none."""
    head, record = text.split("[record]\n")
    record, kinds = record.split("# ---- the kinds")
    tables: dict[str, list[str]] = {}
    for owner, line in re.findall(r"^([\w-]+)\.(.*\n)", record, re.MULTILINE):
        tables.setdefault(owner, []).append(line)
    written = "".join(f"[record.{owner}]\n{''.join(own)}\n" for owner, own in tables.items())
    return f"{head}{written}# ---- the kinds{kinds}"


def _comments(text: str) -> str:
    return re.sub(r"^([\w-]+\.[\w.]+ = .*)$", r"\1  # by hand: { x = ']' }", text, flags=re.M)


def _quoted(text: str) -> str:
    return re.sub(r"^([\w-]+)\.(\w+) = ", r""""\1" . '\2'   =  """, text, flags=re.MULTILINE)


STORY = r"""[story]
text = \"""
post-l.x = { read = 1.0 }
[record]
"quoted\" #
\"""
lists = [ # first
  [1, 2],
  '#]', # post-l.x = 3
  {a = ']'},
]
raw = '''
#'''
""".replace('\\"""', '"""')


def _many_lines_before(text: str) -> str:
    return text.replace("# ---- the record", f"{STORY}\n# ---- the record")


def _value_over_lines(text: str) -> str:
    return text.replace(
        "limit = [0, 400] }", 'limit = [ # mm\n  0,\n  400,\n], note = """a\nb""" }'
    )


SHAPES: dict[str, Callable[[str], str]] = {
    "as it is": lambda text: text,
    "comments on lines": _comments,
    "carriage returns": lambda text: text.replace("\n", "\r\n"),
    "carriage returns and no end": lambda text: text.replace("\n", "\r\n").rstrip(),
    "no line end at the end": lambda text: text.rstrip("\n"),
    "byte order mark": lambda text: "\ufeff" + text,
    "byte order mark before a key": lambda text: (
        "\ufeffclosed = false\n" + text.replace("closed = false\n", "")
    ),
    "sub-tables": _sub_tables,
    "sub-tables alone": _no_record_header,
    "sub-tables and carriage returns": lambda text: _sub_tables(text).replace("\n", "\r\n"),
    "quoted keys": _quoted,
    "many lines before": _many_lines_before,
    "spaces at line ends": lambda text: re.sub(r"$", " \t", text, flags=re.MULTILINE),
    "no blank lines": lambda text: re.sub(r"\n\n+", "\n", text),
    "the record last": lambda text: _moved(text, "# ---- the record", "# ---- the kinds"),
    "the record last and no end": lambda text: SHAPES["the record last"](text).rstrip(),
    "the record last, no end, carriage returns": lambda text: SHAPES["the record last and no end"](
        text
    ).replace("\n", "\r\n"),
    "a value over lines": _value_over_lines,
}


def _moved(text: str, begin: str, end: str) -> str:
    first, rest = text.split(begin, 1)
    moved, last = rest.split(end, 1)
    return f"{first}{end}{last}\n{begin}{moved}"
