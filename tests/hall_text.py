"""The printed list as a technician reads it: steps, what to loosen, and each line's words."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from model.rig.page import Page

Task = Literal["set", "keep", "mark", "roll", "dial"]
HEAD = re.compile(r" {0,2}(\d+)  (\S.*)")
BEGINS = re.compile(
    r"( {0,2}\d+  \S|     - |     ! |     \[[ x]\] |     Tighten|     Where a bar|"
    r"STAND AT|STRUCTURE|NOBODY|WHEN ALL|from |to |\[[ x]\] |  \S|\S)"
)
BOX = re.compile(r"\[ \] (.*)")
VALUE = re.compile(
    r"(?:(?P<mm>-?[\d.]+) mm|(?P<deg>-?[\d.]+)°|(?P<teeth>-?\d+)t \([^)]*\)"
    r"|(?P<sign>~?-?)(?P<inches>\d+ \d+/\d+|\d+/\d+|\d+)\")"
)
BY = re.compile(r" by (\w+)")
SHARE = "Where a bar's two grips do not come out both, share the rest between them."


class Unreadable(AssertionError):  # noqa: N818
    """Words that tell a technician nothing, or more than one thing."""


@dataclass(frozen=True, slots=True)
class Told:
    """One line: what to do with which setting; ``to`` in mm, degrees or teeth as shown."""

    task: Task
    key: str
    to: float | int | None = None
    using: str | None = None
    bar: str | None = None
    rounded: bool = False


@dataclass(slots=True)
class ToldStep:
    """One step as printed; ``loosen`` is the settings by which each screw was named."""

    number: int
    title: str
    loosen: list[tuple[str, str, str]] = field(default_factory=list)
    by_hand: bool = False
    lines: list[Told] = field(default_factory=list)
    marks: list[str] = field(default_factory=list)
    shares: bool = False
    tightens: bool = False


@dataclass(frozen=True, slots=True)
class ToldList:
    """The whole list: its steps, how many loosenings it says, and all its other words."""

    steps: tuple[ToldStep, ...]
    loosenings: int
    words: tuple[str, ...]


def read_list(lines: Iterable[str], page: Page) -> ToldList:
    """Read the printed lines again, knowing the rig's names and nothing else."""
    names = _Names(page)
    steps: list[ToldStep] = []
    words: list[str] = []
    within = False
    for block in _joined(lines):
        head = HEAD.fullmatch(block)
        if head:
            steps.append(_head(int(head[1]), head[2], names))
            within = True
        elif not block.startswith("     "):
            within = False
            words.append(block)
        elif within:
            _into(steps[-1], block.strip(), names)
        else:
            raise Unreadable(block)
    told = [re.search(r"(\d+) lines?, (\d+) loosenings?", block) for block in words]
    found = [match for match in told if match]
    if len(found) != 1:
        raise Unreadable("the list does not say how many loosenings it has")
    for step in steps:
        if step.marks != [line.key for line in step.lines if line.task == "mark"]:
            raise Unreadable(f"step {step.number} does not say first what to mark")
    if int(found[0][1]) != sum(len(step.lines) for step in steps):
        raise Unreadable("the list says another number of lines than it has")
    return ToldList(tuple(steps), int(found[0][2]), tuple(words))


def _joined(lines: Iterable[str]) -> Iterator[str]:
    """Yield each thing said as one line: what is indented further goes on with it."""
    block = ""
    for line in lines:
        if block and line.strip() and not BEGINS.match(line):
            block += " " + line.strip()
            continue
        if block and line.startswith("     ") and HEAD.fullmatch(block):
            words = line.strip()
            if not re.match(r"- |! |\[[ x]\] |Tighten|Where a bar", words):
                block += " " + words
                continue
        if block.strip():
            yield block
        block = line
    if block.strip():
        yield block


class _Names:
    """What the words of the list stand for on this rig."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.parts = {part.name: part.id for part in page.parts}
        assert len(self.parts) == len(page.parts), "two parts of one name"
        self.settings: dict[str, str] = {}
        for key, declared in page.declared.items():
            if declared.owner in page.by_id:
                self.settings[f"{page.by_id[declared.owner].name}, {declared.label}"] = key

    def setting(self, words: str) -> tuple[str, str]:
        """Return the setting that words begin with, and the words after it."""
        found = [name for name in self.settings if words.startswith(name + ":")]
        if not found:
            found = [name for name in self.settings if words.startswith(name + " shows ")]
        if not found:
            raise Unreadable(words)
        name = max(found, key=len)
        return self.settings[name], words[len(name) :]

    def screw(self, part: str, what: str) -> str:
        """Return the setting by which a screw is named: its clamp, or one of its joints."""
        if part not in self.parts:
            raise Unreadable(f"loosen what of {part}?")
        clamp = re.fullmatch(r"(?:its clamp )?on (.+)", what)
        if clamp:
            if self.parts.get(clamp[1]) != self.page.by_id[self.parts[part]].on[0]:
                raise Unreadable(f"{part} is not on {clamp[1]}")
            return f"{self.parts[part]}.clamp"
        holds = re.fullmatch(r"what holds its (.+)", what)
        first = holds[1].partition(" and ")[0] if holds else what
        if f"{part}, {first}" not in self.settings:
            raise Unreadable(f"{part} has no {first}")
        return self.settings[f"{part}, {first}"]


def _head(number: int, words: str, names: _Names) -> ToldStep:
    if words.endswith(", by hand"):
        return ToldStep(number, words.removesuffix(", by hand"), by_hand=True)
    if words.endswith(": dials"):
        return ToldStep(number, words.removesuffix(": dials"))
    title, found, what = words.rpartition(": loosen")
    if not found:
        raise Unreadable(words)
    step = ToldStep(number, title)
    if what not in ("", " together"):
        thing, tool = _tool(what.strip())
        step.loosen.append((names.screw(title, thing), tool, thing))
    return step


def _tool(words: str) -> tuple[str, str]:
    match = re.fullmatch(r"(.+?) \((.+)\)", words)
    if not match:
        raise Unreadable(f"no tool: {words}")
    return match[1], match[2].partition(", marked ")[0]


def _into(step: ToldStep, words: str, names: _Names) -> None:
    """Add one of a step's own lines."""
    box = BOX.fullmatch(words)
    if box:
        step.lines.append(_line(box[1], names))
    elif words.startswith("- "):
        thing, tool = _tool(words.removeprefix("- "))
        part = max((n for n in names.parts if thing.startswith(n + ", ")), key=len, default="")
        step.loosen.append((names.screw(part, thing.removeprefix(part + ", ")), tool, thing))
    elif words.startswith("Tighten"):
        step.tightens = True
    elif words == SHARE:
        step.shares = True
    elif mark := re.fullmatch(r"! Mark (.+) before you loosen\.", words):
        step.marks.append(names.setting(f"{mark[1]}:")[0])
    elif not words.startswith("! "):
        raise Unreadable(words)


def _line(words: str, names: _Names) -> Told:
    if words.startswith("Turn "):
        bar, _, rest = words.removeprefix("Turn ").partition(" until ")
        key, rest = names.setting(rest)
        return _told("roll", key, rest.removeprefix(" shows "), bar=names.parts[bar])
    key, rest = names.setting(words)
    rest = rest.removeprefix(": ")
    if ".dial." in key:
        return Told("dial", key)
    if rest.startswith("keep at your mark"):
        return Told("mark", key)
    if rest.startswith("keep at "):
        return _told("keep", key, rest.removeprefix("keep at "))
    if rest.startswith("set to "):
        return _told("set", key, rest.removeprefix("set to "))
    start, arrow, to = rest.partition(" -> ")
    if not arrow or not VALUE.fullmatch(start):
        raise Unreadable(words)
    return _told("set", key, to)


def _told(task: Task, key: str, words: str, bar: str | None = None) -> Told:
    match = VALUE.match(words)
    if not match:
        raise Unreadable(words)
    rest = words[match.end() :]
    rest = re.sub(r"^, nobody read it tonight; last known \S+( mm)?", "", rest)
    by = BY.match(rest)
    value, rounded = _value(match)
    return Told(task, key, value, by[1] if by else None, bar, rounded)


def _value(match: re.Match[str]) -> tuple[float | int, bool]:
    if match["teeth"]:
        return int(match["teeth"]), False
    if match["mm"] or match["deg"]:
        return float(match["mm"] or match["deg"]), False
    inches = sum((Fraction(part) for part in match["inches"].split()), Fraction(0))
    size = float(inches * Fraction(254, 10))
    return (-size if "-" in match["sign"] else size), "~" in match["sign"]
