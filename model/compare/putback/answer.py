"""The put-back as an answer: what the checklist shows, what is printed, what ``--json`` says."""

from __future__ import annotations

from typing import Literal

from model.compare.answer import ComparedPage
from model.frozen import Frozen
from model.readings.angles import ReadFrom
from model.readings.quantity import Quantity

Task = Literal["set", "keep", "mark", "roll", "dial"]
"""Move it; it is freed and goes where it was; home does not know it, so mark it before; turn the
bar until that shows; a setting without geometry."""

StructureTask = Literal["put back", "hang elsewhere", "ask", "other hardware"]
Side = Literal["left", "right", "middle"]
Reached = Literal["home", "not home", "not told", "no tolerance", "unknown"]
"""Not told: beyond the tolerance, by less than the readings can tell."""


class Line(Frozen):
    """One setting of a step. Values in mm, degrees, teeth or a dial's own.

    ``tick`` is its line in the file of ticks. ``start`` is what it shows when one gets there, all
    above it being home; ``to`` what it is to show; ``by`` how far its joint moves by its own zero;
    ``u`` how sure one reading of it is.
    ``way`` is which way, a turn's with its size, and ``aside`` where that is seen from the player.
    ``leans`` is which way a level's reading leans where no way is told.
    ``unread`` says that nobody read it tonight: ``start`` is the last that was known.
    """

    tick: str
    part: str
    part_name: str
    name: str
    task: Task
    quantity: Quantity
    start: float | int | str | None = None
    to: float | int | str | None = None
    by: float | int | None = None
    way: str = ""
    aside: str = ""
    leans: str = ""
    read_from: ReadFrom | None = None
    using: str | None = None
    measured: str = ""
    u: float | None = None
    unread: bool = False


class Loosened(Frozen):
    """One clamp or screw of a step: whose, which, with what, and the mark it is found by."""

    part: str
    part_name: str
    what: str
    tool: str
    mark: str | None = None


class Step(Frozen):
    """What is done in one go: loosen all of it, set each line, tighten all of it.

    ``where`` is the part on the floor at which one stands, ``also`` are the others that one walks
    to; ``hold`` is what would drop.
    """

    number: int
    where: str
    where_name: str
    where_mark: str | None = None
    also: tuple[str, ...] = ()
    side: Side
    title: str
    loosen: tuple[Loosened, ...] = ()
    by_hand: tuple[str, ...] = ()
    hold: tuple[str, ...] = ()
    lines: tuple[Line, ...]
    minutes: float


class StructureStep(Frozen):
    """A part that is missing, hangs elsewhere or was added; ``text`` says what to do, or asks."""

    tick: str
    task: StructureTask
    part: str
    part_name: str
    text: str


class Unread(Frozen):
    """What home knows and nobody read tonight, or not in the same way: to be looked at."""

    setting: str
    part_name: str
    name: str
    quantity: Quantity
    to: float | int | str | None
    read_from: ReadFrom | None = None
    using: str | None = None
    measured: str = ""
    state: Literal["carried", "open", "otherwise"]
    tool: str = ""

    @property
    def by_level(self) -> bool:
        """Whether a level shows it: that hangs on all that is below it."""
        return self.read_from == "gravity"


class Remains(Frozen):
    """How far a piece is from home when all is done: right, ahead, up in mm, tilts in degrees.

    ``u95`` is ± for 95 %, of the five; ``distance`` and ``tilt`` are held against the tolerance.
    ``unread`` are settings it rests on that nobody read tonight: the figures are then those of the
    last readings. ``mostly`` are the settings that leave it where it is.
    """

    piece: str
    name: str
    role: str | None
    by: tuple[float, ...] | None = None
    u95: tuple[float, ...] | None = None
    distance: float | None = None
    tilt: float | None = None
    tolerance_mm: float | None = None
    tolerance_deg: float | None = None
    reached: Reached
    unread: tuple[str, ...] = ()
    mostly: tuple[str, ...] = ()
    why: str = ""


class LeftOut(Frozen):
    """What a short changeover leaves for later of one step: its settings, and what they are called.

    ``title`` is the step's in the whole list, ``where`` the part on the floor at which one stands.
    """

    title: str
    where: str
    where_name: str
    settings: tuple[str, ...]
    names: tuple[str, ...]


class PutBack(Frozen):
    """The way from one page of a rig to a wanted one.

    Within a time, minutes, ``left_out`` is what there is no time for; ``off_before`` and
    ``off_after`` add up how far off all is, in tolerances, each as much as its role counts.
    """

    answer: Literal["putback"] = "putback"
    version: Literal[1] = 1
    now: ComparedPage
    wanted: ComparedPage
    structure: tuple[StructureStep, ...]
    steps: tuple[Step, ...]
    unread: tuple[Unread, ...]
    remains: tuple[Remains, ...]
    loosenings: int
    minutes: float
    left_within: int
    notes: tuple[str, ...] = ()
    within: float | None = None
    enough: bool = False
    left_out: tuple[LeftOut, ...] = ()
    off_before: float | None = None
    off_after: float | None = None

    @property
    def something(self) -> bool:
        """Whether there is anything to do or to ask."""
        return bool(self.structure or self.steps)

    @property
    def lines(self) -> tuple[Line, ...]:
        """The lines of all steps, in order."""
        return tuple(line for step in self.steps for line in step.lines)
