"""Hostile texts through every command: nothing that could act comes out, as text or as JSON."""

from __future__ import annotations

import io
import json
import re
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from xml.etree import ElementTree

import pytest

from model.clean import clean
from tests.hostile_texts import PAYLOADS, acting, file_name, hostile_book, toml
from tests.rack_stage import FIRST, SECOND, small_book
from tests.sizes import examples
from tui import cli
from tui.commands.shared import schema_of
from tui.crash import crash_words, write_crash_log
from tui.places import remember_place, remembered_place

pytestmark = pytest.mark.skipif(
    sys.platform == "win32", reason="Windows takes no such names of files"
)
NOW = datetime(2025, 3, 16, 18, 0, tzinfo=UTC)
EVERY = "".join(PAYLOADS)
FIVES = ["".join(PAYLOADS[first : first + 5]) for first in range(0, len(PAYLOADS), 5)]
Call = list[str]


@dataclass(slots=True)
class Desk:
    """Runs commands, and looks at all that comes of them."""

    capsys: pytest.CaptureFixture[str]
    monkeypatch: pytest.MonkeyPatch
    calls: int = 0
    done: Counter[str] = field(default_factory=Counter)
    told: set[str] = field(default_factory=set)

    def run(self, call: Call, typed: str = "", mark: str = "MARK") -> str:
        """Run one command; return what it printed. ``mark`` shows that a hostile text came by."""
        # A text's line ends are made one on their way in.
        self.monkeypatch.setattr("sys.stdin", io.StringIO(typed, newline=None))
        try:
            status = cli.main(call)
        except SystemExit as end:  # the parser of the arguments ends so
            status = int(end.code or 0)
        said = self.capsys.readouterr()
        assert (acting(said.out), acting(said.err)) == ([], []), f"{call}: {said}"
        assert status in (0, 1, 2), call
        assert "Traceback" not in said.err, call
        if "--json" in call and said.out:
            assert said.out.isascii(), call
            json.loads(said.out)
        self.calls += 1
        self.done[call[0]] += status < 2
        if mark in said.out + said.err:
            self.told.add(call[0])
        return said.out


@pytest.fixture
def desk(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Desk:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("COLUMNS", "200")
    monkeypatch.setattr(cli, "now", lambda: NOW)
    return Desk(capsys, monkeypatch)


@dataclass(frozen=True, slots=True)
class Place:
    """A hostile book in a folder of a hostile name, with a page and a copy so named."""

    text: str
    book: Path

    @property
    def now(self) -> str:
        return str(self.book / SECOND)

    @property
    def home(self) -> str:
        return str(self.book / FIRST)

    @property
    def page(self) -> str:
        return str(self.book / f"2025-03-15-{file_name(self.text)}.toml")


def place(tmp_path: Path, text: str) -> Place:
    folder = tmp_path / f"folder {file_name(text)}"
    here = Place(text, hostile_book(folder / "tour", text))
    second = (here.book / f"{SECOND}.toml").read_text()
    Path(here.page).write_text(second)
    copy = here.book / f"{SECOND} ({file_name(text)}).toml"
    copy.write_text(second.replace("read = 840.0", "read = 850.0"))
    return here


def typed_lines(text: str) -> str:
    """Return readings for standard input, each with the text in another place."""
    lines = [
        f"{text} x 1", f'"{text}" {text} {text}', f"clamp-l {text} 820", f"clamp-l height {text}",
        f"clamp-l height 820 | note={text}", f"clamp-l height 820 | using={text}",
        f"clamp-l height 820 | from={text}", f"clamp-l height 820 | u={text}",
        f"clamp-l height 820 | {text}", f"kick.dial.beater_angle {text}", text,
        f"clamp-r height @seen | {text}",
    ]  # fmt: skip
    return "\n".join(lines)


def light_calls(here: Place, day: str) -> Iterator[Call]:
    """Yield every command that is cheap, with the text in every argument that takes one."""
    text, book, now, page = here.text, str(here.book), here.now, here.page
    yield ["begin", book, "--date", day, "--moment", text, "--venue", text, "--by", text]
    yield ["begin", book, "--from", f"{text}x"]
    yield ["begin", f"{text}x"]
    yield ["read", now, "clamp-l", "height", "900", "--note", text, "--by", text]
    yield ["read", now, "clamp-l", "height", "900", "--using", text]
    yield ["read", now, text, "height", "1"]
    yield ["read", now, "clamp-l", text, "1"]
    yield ["read", now, "clamp-l", "height", text]
    yield ["read", now, "kick", "dial.beater_angle", text]
    yield ["read", f"{text}x", "clamp-l", "height", "1"]
    yield ["read", page, "clamp-l", "height", "800"]
    yield ["read", now]
    yield ["read", now, "throne", "height", "500"]
    why = ["--reason", text]
    yield ["adopt", now, "--pieces", "throne", "--reason", "lower", "--as", f"home {day}"]
    yield ["adopt", now, "--all", "--as", f"all {day}"]
    yield ["adopt", now, "--pieces", "throne", *why, "--by", text, "--as", f"{text} {day}"]
    yield ["adopt", now, "--pieces", f"{text}x", *why]
    yield ["adopt", now, "--pieces", "throne", *why, "--from-home", f"{text}x"]
    yield ["adopt", now, "--all", "--as", f"{text} all {day}"]
    yield ["adopt", page, "--all", "--as", f"{text} page {day}"]
    yield ["recover", book]
    yield ["recover", f"{text}x"]
    yield ["recover", book, "--take", "1", "--also", f"{text}x"]
    yield ["positions", now]
    yield ["positions", page, "--faults"]
    yield ["positions", str(here.book / "broken.toml")]
    yield ["positions", str(here.book / "no page.toml")]


def build_calls(here: Place, number: int) -> Iterator[Call]:
    """Yield the commands that build a rig."""
    text, now, new = here.text, here.now, f"{here.book.parent}/rig {number} {file_name(here.text)}"
    yield ["rig", new, text, "--title", text, "--moment", text, "--venue", text, "--by", text]
    yield ["rig", f"{new} plain", "Side rack"]
    yield ["rig", str(here.book), text]
    yield ["rig", f"{new}x", text, "--date", text]
    add = ["part", now, "add", text]
    yield [*add, "--kind", "foot-post", "--set", f"colour={text}", "--by", text]
    yield [*add, "--kind", text]
    yield ["part", now, "add", f"Post {number}", "--kind", "foot-post"]
    yield [*add, "--kind", "foot-post", "--set", text]
    yield [*add, "--kind", "foot-post", "--at", text, "--on", text]
    yield ["part", now, "set", "ride", f"weight={text}"]
    yield ["part", now, "hang", "ride", "--on", f"{text}x"]
    yield ["part", now, "copy", "post-l", text]
    yield ["part", now, "gap", "ride", f"{text}x", "--name", text]
    yield ["part", now, "kinds", "--on", f"{text}x"]
    yield ["part", now, f"{text}x"]
    yield ["part", now]
    yield ["kit", now]
    yield ["kit", now, f"{text}x"]
    yield ["kit", now, str(here.book / "broken.toml")]


def plain_calls(here: Place, out: str) -> Iterator[Call]:
    """Yield the commands that have no JSON, and arguments that no command knows."""
    text, book = here.text, str(here.book)
    yield ["draw", here.now]
    yield ["draw", here.now, "--over", here.home, "--out", f"{out}.svg"]
    yield ["draw", here.page, "--view", "above"]
    yield ["draw", here.now, "--out", f"{book}/{text}x/a.svg"]
    yield ["draw", here.now, "--out", book]
    yield ["part", here.now, "kinds", "--on", "post-l"]
    yield ["sample"]
    yield ["sample", f"{text}x"]
    yield ["sample", "fly-rack", out, "--copy-only"]
    yield ["sample", "fly-rack", out, "--copy-only"]
    yield ["sample", "fly-rack", str(here.book / "broken.toml"), "--copy-only"]
    yield ["positions", f"{text}{'x' * 300}"]  # the system itself refuses such a name
    yield from (["open", book], ["open", f"{text}x"], ["open", here.page], [f"{text}x"])
    for command in cli.COMMANDS:
        yield [command, f"--{text}"]
        yield [command, "a", "b", "c", text, text, "-5"]
    yield ["draw", here.now, "--view", text]
    yield ["begin", book, "--date", text]
    yield ["compare", here.home, here.now, "--unit", text]
    yield ["read", here.now, "clamp-l", "height", "1", "--u", text]


def heavy_calls(here: Place) -> Iterator[Call]:
    """Yield the commands that compute, with every option."""
    text, now, home, page = here.text, here.now, here.home, here.page
    yield ["compare", home, now]
    for option in ("--as-read", "--by-role", "--by-part"):
        yield ["compare", home, now, option, "--all"]
    yield ["compare", "--three", now]
    yield ["compare", "--three", now, "--home", text]
    yield ["compare", "--three", now, "--home", f"{text}x"]
    yield ["compare", page, now]
    yield ["compare", f"{text}x", now]
    yield ["compare", str(here.book / "broken.toml"), now]
    yield ["putback", now]
    yield ["putback", now, text, "--everything"]
    yield ["putback", now, f"{text}x"]
    yield ["putback", now, "--minutes", "10"]
    yield ["putback", now, "--minutes", text]
    yield ["putback", now, "--enough"]
    yield ["putback", now, "--side", "left"]
    yield ["putback", page]


def test_no_text_acts_through_a_cheap_command(
    desk: Desk, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for number, payload in enumerate(PAYLOADS):
        desk.told.clear()
        here = place(tmp_path, f"{payload}MARK")
        for call in light_calls(here, "2025-03-20"):
            desk.run(call, typed_lines(here.text))
        out = str(here.book.parent / f"out{number} {file_name(payload)}")
        for call in plain_calls(here, out):
            said = desk.run(call)
            if call[0] == "draw" and said:
                _is_clean_svg(said)
        _is_clean_svg(Path(f"{out}.svg").read_text("utf-8"))
        assert desk.told >= set(cli.COMMANDS) - {"putback"}, "a command told nothing of the text"
    for number, payload in enumerate(examples(0, 1) * PAYLOADS or FIVES):
        here = place(tmp_path, f"{payload}MARK JSON")
        for call in build_calls(here, number):
            desk.run(call, typed_lines(here.text))
        for call in (*light_calls(here, "2025-03-21"), *build_calls(here, number + 100)):
            desk.run([*call, "--json"], typed_lines(here.text))
    computing = {"compare", "putback"}
    _told(capsys, desk, set(cli.COMMANDS) - computing - {"open", "kit"})


def test_no_text_acts_through_a_command_that_computes(
    desk: Desk, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for payload in examples(0, 1) * PAYLOADS or FIVES:
        desk.told.clear()
        here = place(tmp_path, f"{payload}MARK")
        ticks = here.book / f"{SECOND}--{FIRST}.putback"
        for call in heavy_calls(here):
            desk.run(call)
        ticks.write_text(f"format = 1\nnow = {toml(here.text)}\n{toml(here.text)} = 1\n")
        desk.run(["putback", here.now])
        assert desk.told == {"compare", "putback"}
        if payload in (FIVES[-1], PAYLOADS[-1]):
            ticks.write_bytes(here.text.encode())
            for call in heavy_calls(here):
                desk.run([*call, "--json"])
    _told(capsys, desk, {"compare", "putback"})


def _told(capsys: pytest.CaptureFixture[str], desk: Desk, worked: set[str]) -> None:
    # Where everything is refused, nothing was tried.
    tried = {command for command, count in desk.done.items() if count}
    assert tried >= worked
    with capsys.disabled():
        print(f"\n  {desk.calls} calls, {len(PAYLOADS)} hostile texts: 0 acting characters", end="")


def _is_clean_svg(text: str) -> None:
    root = ElementTree.fromstring(text)
    for element in root.iter():
        for held in (element.text or "", element.tail or "", *element.attrib.values()):
            assert acting(held) == []
    assert "MARK" in text


WORD = re.compile(r'"[^"\n]*"|(?<=[{,.\[ ])[a-z_]+(?=[\]. =])|^[a-z_]+', re.M)
SECTION = re.compile(r"^\[([a-z]+)", re.M)


def _in_turn(text: str) -> Iterator[str]:
    """Yield a file's text with every sort of key, name and text in turn replaced by a hostile one.

    What stands in the same sort of table under the same key (all heights, all tapes) is tried once.
    """
    seen: set[tuple[str, str]] = set()
    hostile = toml(f"{EVERY}MARK")
    for found in WORD.finditer(text):
        before = text[: found.start()]
        line = before[before.rfind("\n") + 1 :]
        section = (SECTION.findall(before) or ["head"])[-1]
        key = re.search(r"[a-z_]+(?= = [^=]*$)", line)
        shape = section, (key[0] if key else "") if found[0].startswith('"') else found[0]
        if "#" not in line and shape not in seen:
            seen.add(shape)
            yield before + hostile + text[found.end() :]


def test_no_text_acts_from_any_place_of_a_file(
    desk: Desk, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book = small_book(tmp_path / "tour")
    page, own = book / f"{SECOND}.toml", book / "book.toml"
    own.write_text(
        own.read_text() + '\n[tolerance.ride]\nmm = 5.0\n\n[minutes]\nloosen = 1.0\n'
        '\n[instrument]\nlaser = { u_mm = 1.0, from = "joint" }\n\n[kind.seat]\n'
        'name = "seat"\nchain = ["x"]\nx = { slides = "x", plus = "right", measured = "edge" }\n'
    )  # fmt: skip
    before = page.read_text(), own.read_text()
    for text in _in_turn(before[0]):
        page.write_text(text)
        desk.run(["positions", str(page), "--faults"])
    page.write_text(before[0])
    pages = desk.calls
    for text in _in_turn(before[1]):
        own.write_text(text)
        desk.run(["compare", "--three", "tour/2025-03-15"])
        desk.run(["begin", "tour", "--date", "2025-03-15"])
    assert pages > 60
    assert desk.calls > pages + 30
    with capsys.disabled():
        print(f"\n  {desk.calls} hostile files: 0 acting characters", end="")


@pytest.mark.parametrize("choice", ["by", "unit", "look", "keys", "other"])
def test_no_text_acts_from_the_readers_choices(desk: Desk, tmp_path: Path, choice: str) -> None:
    small_book(tmp_path / "tour")
    path = tmp_path / "config" / "clampbook" / "config.toml"
    path.parent.mkdir(parents=True)
    text = toml(f"{EVERY}MARK")
    lines = {"keys": f"[keys]\n{text} = {text}\n", "other": f"{text} = 1\n"}
    path.write_text(lines.get(choice, f"{choice} = {text}\n"))
    desk.run(["read", "tour", "clamp-l", "height", "800", "--json"])
    desk.run(["read", "tour", "clamp-l", "height", "801"])
    desk.run(["begin", "tour"])
    desk.run(["compare", "tour/main", "tour"])
    assert desk.told or choice in ("by", "look", "keys"), "the choice was passed over in silence"


LINE_BY_LINE = {
    "adopt", "begin", "compare", "kit", "open", "part", "positions", "putback", "read", "recover",
    "rig", "sample",
}  # fmt: skip
"""Commands that clean each line by itself, so that a name's line break begins none of ours."""


def test_no_line_break_of_a_name_begins_a_line_of_ours(desk: Desk, tmp_path: Path) -> None:
    """A name with a line break in it would otherwise say what the program never said."""
    here = place(tmp_path, "a\nFORGED")
    out = str(here.book.parent / "out")
    calls = (light_calls(here, "2025-03-20"), plain_calls(here, out), heavy_calls(here))
    for call in (call for some in calls for call in some if call[0] in LINE_BY_LINE):
        said = desk.run(call, mark="FORGED")
        assert not [line for line in said.splitlines() if line.startswith("FORGED")], call
    assert desk.told == LINE_BY_LINE


def test_a_folder_whose_name_is_no_utf_8_is_told_and_ends_nothing(
    desk: Desk, tmp_path: Path
) -> None:
    """Such names come from old disks; the system hands them on as lone surrogates (PEP 383)."""
    folder = tmp_path / "tour \udcff"
    try:
        folder.mkdir()
    except OSError:
        pytest.skip("this file system takes no name that is not UTF-8")
    here = Place("MARK", hostile_book(folder / "tour", "MARK"))
    Path(here.page).write_bytes(Path(f"{here.now}.toml").read_bytes())
    for call in (*light_calls(here, "2025-03-20"), *build_calls(here, 0), *heavy_calls(here)):
        desk.run(call, typed_lines("MARK"))
    remember_place(Path(here.page), "clamp-l.height")
    assert remembered_place(Path(here.page)) == "clamp-l.height"


def test_schemas_are_ascii(desk: Desk, capsys: pytest.CaptureFixture[str]) -> None:
    for name in set(cli.COMMANDS) - {"open", "draw", "sample"}:
        assert desk.run([name, "--schema"]).isascii()
        command = cli.command_named(name)
        assert json.dumps(schema_of(command.answer_type())).isascii()


@pytest.mark.parametrize("payload", [*PAYLOADS, "a\nFORGED", "\udcff"])
def test_a_crash_log_and_its_words_are_clean(payload: str, tmp_path: Path) -> None:
    try:
        try:
            raise KeyError(payload)
        except KeyError as error:
            error.add_note(payload)
            raise RuntimeError(f"{payload}MARK") from error
    except RuntimeError as error:
        log = write_crash_log(error, NOW, tmp_path / file_name(payload))
        words = crash_words(error, log)
    assert log is not None
    text = log.read_text("utf-8")
    assert acting(text) == []
    assert "MARK" in text
    assert acting(words) == []
    assert f"{clean(payload)}MARK" in words
