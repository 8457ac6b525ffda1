"""What cannot be read, or is odd: every reason at once, its place, and an entry that is right.

The golden texts are what a technician would see; read them when they change.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from model.book.heads import list_book, read_head
from model.book.page_file import open_page
from model.book.read import parse_page
from model.clean import clean_lines
from model.disk.guard import DEEPEST_KEY, LARGEST_FILE, LONGEST_LINE
from model.errors import ClampbookError, Problem, UnreadableFile
from model.rig.tree import rig_tree
from tests.goldens import same_as_golden
from tests.shapes import PAGE

DATA = Path(__file__).parent / "data" / "bad_input"
FILES = sorted(path.stem for path in DATA.glob("*.toml"))
FLAGGED = {"control_characters", "hanging", "settings"}
HEAD = PAGE[: PAGE.index("[notes]")]


def _bytes(data: bytes) -> Callable[[Path], None]:
    def write(path: Path) -> None:
        path.write_bytes(data)

    return write


def _text(text: str) -> Callable[[Path], None]:
    return _bytes(text.encode())


def _pipe(path: Path) -> None:
    if not hasattr(os, "mkfifo"):
        pytest.skip("this system has no named pipes")
    os.mkfifo(path)


def _link(to: str) -> Callable[[Path], None]:
    def write(path: Path) -> None:
        (path.parent / "elsewhere").write_text(PAGE, "utf-8")
        try:
            path.symlink_to(to)
        except OSError as error:
            pytest.skip(f"no links here: {error.strerror}")

    return write


MADE: dict[str, Callable[[Path], None]] = {
    "deep_dotted_key": _text(HEAD + ".".join("abcdefghijkl") + " = 1\n"),
    "deep_brackets": _text(HEAD + f"list = {'[' * 400}{']' * 400}\n"),
    "deep_tables": _text(HEAD + f"table = {'{ a = ' * 40}1{' }' * 40}\n"),
    "deep_header": _text(HEAD + "[" + ".".join("a" * 900) + "]\n"),
    "long_lines": _text(f'{HEAD}a = "{"x" * 5000}"\nb = 1\n# {"y" * 100_000}\n'),
    "long_numbers": _text(
        f"{HEAD}odd = 0x{'f' * 4000}\n\n[part.post-l]\ntype = 'post'\nname = 'Left post'\n"
        f"tube = {'9' * 4000}\nlength = 0b1{'0' * 4000}\n\n[record]\n\n"
        f"floor.rug = {{ read = 0o7{'0' * 4000} }}\n"
    ),
    "too_large": _text(PAGE + "#\n" * (LARGEST_FILE // 2)),
    "control_characters_raw": _text(f'{HEAD}a = "\x1b[2J"\nb\x07 = 1\n\x1b]0;x\x07\nc = \x00\n'),
    "bare_carriage_return": _text(f"{HEAD}a = 1\rb = 2\n"),
    "empty": _text(""),
    "not_toml_at_all": _text("Left post 812\nRight post 817\n\n\x7fELF\n"),
    "not_utf8": _bytes(b'format = 1\nrig = "Side"\nvenue = "Caf\xe9"\n'),
    "utf16": _bytes(PAGE.encode("utf-16")),
    "zeros": _bytes(bytes(5000)),
    "folder": lambda path: path.mkdir(),
    "pipe": _pipe,
    "link_that_dangles": _link("gone"),
    "link_to_a_page": _link("elsewhere"),
    "link_to_itself": _link("page.toml"),
    "missing": lambda path: None,
    "in_no_folder": lambda path: None,
}


def problems_of(path: Path) -> tuple[tuple[Problem, ...], str]:
    """Open a page and return what was found and how it is said."""
    try:
        found = open_page(path).problems
    except ClampbookError as error:
        return error.problems, error.text()
    return found, "\n".join(problem.text() for problem in found)


def _each_is_whole(problems: tuple[Problem, ...], text: str, name: str, lines: int) -> None:
    """Hold every problem to: its file, its place where it has one, a reason, a right example."""
    assert problems
    for problem in problems:
        assert problem.path == name
        assert problem.what
        assert problem.right, problem
        assert problem.line is None or 1 <= problem.line <= lines + 1
    assert text == clean_lines(text), "a hostile character would reach the terminal"
    assert not re.search("pydantic|Traceback|tomli", text)


@pytest.mark.parametrize("case", FILES)
def test_a_bad_file_is_told_whole(case: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(DATA)
    path = Path(f"{case}.toml")
    problems, text = problems_of(path)
    written = path.read_text("utf-8")
    _each_is_whole(problems, text, path.name, written.count("\n"))
    assert any(problem.grave for problem in problems) is (case not in FLAGGED)
    for problem in problems:
        nowhere = problem.code == "no-line" or problem.what == "it is missing"
        assert problem.line is not None or nowhere, problem
        if problem.line is not None and problem.key is not None:
            _the_line_is_about_the_key(written.split("\n")[problem.line - 1], problem.key)
    same_as_golden(f"bad_input/{case}.txt", f"{text}\n")


def _the_line_is_about_the_key(line: str, key: str) -> None:
    """The line names the key, or is the header or table that the key is in."""
    steps = [step.strip('"') for step in re.split(r'\.(?=(?:[^"]*"[^"]*")*[^"]*$)', key)]
    assert any(step in line for step in (*steps[1:], *steps[:1])), (line, key)


@pytest.mark.parametrize("case", MADE)
def test_what_cannot_be_read_is_told_and_left_alone(
    case: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    path = Path("nowhere/page.toml" if case == "in_no_folder" else "page.toml")
    MADE[case](path)
    before = path.read_bytes() if path.is_file() and not path.is_symlink() else None
    problems, text = problems_of(path)
    _each_is_whole(problems, text, str(path), before.count(b"\n") if before else 10**6)
    assert all(problem.grave for problem in problems)
    assert len(text) < 6000, "a message is for reading"
    assert before is None or path.read_bytes() == before
    same_as_golden(f"bad_input/{case}.txt", f"{text}\n")


@pytest.mark.parametrize("case", [case for case in MADE if case != "in_no_folder"])
def test_what_cannot_be_read_blocks_no_list_of_pages(
    case: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The list reads heads alone: a page whose head is whole is listed, another is told."""
    monkeypatch.chdir(tmp_path)
    Path("book.toml").write_text('title = "Tour"\n', "utf-8")
    Path("2025-03-14-soundcheck.toml").write_text(PAGE, "utf-8")
    MADE[case](Path("bad.toml"))
    listing = list_book(Path())
    assert "2025-03-14-soundcheck" in [page.name for page in listing.pages]
    told = [error.problems[0].path for error in listing.unreadable]
    listed = [page.path.name for page in listing.pages]
    assert case == "missing" or "bad.toml" in (*told, *listed)
    for error in listing.unreadable:
        assert error.text() == clean_lines(error.text())
        assert all(problem.right for problem in error.problems)


@pytest.mark.parametrize("separator", ["\u2028", "\x85", "\u2029", "\x0c", "\x1c"])
def test_a_line_separator_in_a_text_ends_no_head(separator: str, tmp_path: Path) -> None:
    path = tmp_path / "page.toml"
    written = separator if separator > "\x7f" else f"\\u{ord(separator):04x}"
    path.write_text(PAGE.replace("Old Tram Shed", f"Old{written}[Tram] Shed"), "utf-8")
    assert read_head(path).venue == f"Old{separator}[Tram] Shed"
    assert open_page(path).page.head.venue == read_head(path).venue


def test_a_value_over_lines_ends_no_head(tmp_path: Path) -> None:
    path = tmp_path / "page.toml"
    odd = 'tags = [\n["a"],\n[1, 2],\n]\nvenue = """Old\n[Tram]\nShed"""'
    path.write_text(PAGE.replace('venue = "Old Tram Shed"', odd), "utf-8")
    assert read_head(path).venue == "Old\n[Tram]\nShed" == open_page(path).page.head.venue


def test_the_caps_are_what_the_format_says() -> None:
    assert (LARGEST_FILE, LONGEST_LINE, DEEPEST_KEY) == (1_000_000, 4096, 8)


def test_a_device_is_not_read() -> None:
    if not Path("/dev/zero").exists():
        pytest.skip("this system has no /dev/zero")
    with pytest.raises(UnreadableFile, match="regular file"):
        open_page(Path("/dev/zero"))


def test_a_rack_deeper_than_any_is_flagged_where_it_goes_too_deep() -> None:
    parts = "".join(
        f'\n[part.p{i}]\ntype = "mount"\nname = "P{i}"\non = "{f"p{i - 1}" if i else "floor"}"\n'
        for i in range(43)
    )
    read = parse_page(PAGE + parts)
    assert read.page is not None
    deep = [problem.key for problem in read.problems if problem.code == "too-deep"]
    assert deep == ["part.p41.on", "part.p42.on"]
    assert [part.id for part in rig_tree(read.page).not_hung] == ["p41", "p42"]
    assert not [problem for problem in read.problems if problem.code == "cycle"]


def test_no_part_of_a_message_lets_a_hostile_character_through() -> None:
    odd = "\x1b[2J\x9b\u202e\n\x00"
    problem = Problem(code="x", what=odd, why=odd, right=odd, path=odd, key=odd, line=3)
    for said in (problem.text(), ClampbookError(odd, (problem,)).text(), problem.place()):
        assert said == clean_lines(said)
        assert said.count("\n") <= 3


def test_of_very_many_problems_the_first_are_told() -> None:
    problems = tuple(Problem(code="x", what=f"fault {number}") for number in range(5000))
    text = UnreadableFile("page.toml cannot be read", problems).text()
    assert text.count("\n") < 300
    assert "fault 199\n" in text
    assert text.endswith("and 4800 more of its kind: mend these, then look again")
