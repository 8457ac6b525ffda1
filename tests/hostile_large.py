"""Hostile texts of any size, made of what costs a reader most; each follows a page's head."""

from __future__ import annotations

from collections.abc import Callable


def rows(row: str, size: int) -> str:
    """Return numbered rows until there are ``size`` characters of them; ``@`` is the number."""
    made: list[str] = []
    length = 0
    while length < size:
        made.append(row.replace("@", str(len(made))))
        length += len(made[-1])
    return "".join(made)


def _many_joints(size: int) -> str:
    """Return a kind of many joints on many parts: so many settings that none could be listed."""
    chain = rows("'j@',\n", size // 5)
    joints = "".join(f"j{i} = {{ slides = 'x' }}\n" for i in range(chain.count(",")))
    parts = rows("[part.p@]\ntype='post'\nname=''\nkind='k'\n", size // 4)
    return f"[kind.k]\nname = ''\nchain = [\n{chain}]\n{joints}{parts}"


def _many_outlets(size: int) -> str:
    ends = rows("ends.e@ = {}\n", size // 2)
    part = "[part.p@]\ntype='mount'\nname=''\nkind='k'\non='p0'\nat='q'\n"
    return f"[kind.k]\nname = ''\nchain = []\n{ends}{rows(part, size // 2)}"


LARGE: dict[str, Callable[[int], str]] = {
    "escaped quotes": lambda n: rows('a@ = \\"""\n', n),
    "escaped quotes in a list": lambda n: "a = [\n" + rows('\\"""\n', n),
    "quotes that nothing closes": lambda n: "a = [\n" + rows('"' + '\\"' * 2000 + "\n", n),
    "a long header": lambda n: f"[[a]]\n[{'a.' * 2040}a]\n" + rows("b@ = 1\n", n),
    "long keys": lambda n: "[[a]]\n" + rows("a." * 2040 + "a = 1\n", n),
    "long keys in braces": lambda n: rows("k@ = { " + "a." * 2030 + "a = 1 }\n", n),
    "keys 8 deep": lambda n: rows("a@.b.c.d.e.f.g = 1\n", n),
    "brackets over lines": lambda n: "a = " + "[\n" * (n // 2),
    "tables in lists over lines": lambda n: "a = [" + "{ b = [\n" * (n // 8),
    "duplicates": lambda n: rows("a = 1\n", n),
    "odd lines": lambda n: rows("x\n", n),
    "a fault at the end": lambda n: rows("a@ = 1\n", n) + "[",
    "arrays of tables": lambda n: rows("[[a]]\n[[a.b]]\n[a.b.c.d]\n", n),
    "settings of nobody": lambda n: "[record]\n" + rows("p@.s = { open = true }\n", n),
    "wrong settings": lambda n: "[record]\n" + rows("p.s@ = { read = nan }\n", n),
    "parts on the first part": lambda n: rows("[part.p@]\ntype='mount'\nname=''\non='p0'\n", n),
    "many joints on many parts": _many_joints,
    "many outlets and many parts": _many_outlets,
    "spots of nothing": lambda n: rows("[spot.m@]\nname = 'a'\ngap = ['a', 'b']\n", n),
    "hostile notes": lambda n: "[notes]\n" + rows('a@ = "\\u202e"\n', n),
    "line ends": lambda n: "\r\n" * (n // 2),
    "merge marks": lambda n: rows("<<<<<<< a\n=======\n>>>>>>> b\n", n),
}
