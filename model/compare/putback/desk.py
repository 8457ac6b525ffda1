"""The put-back's own papers: its list and ticks beside the pages, and the page of re-readings."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path as FilePath

from model.book.begin import Begin, page_name
from model.book.edits import SettingEdit
from model.book.page_file import PageFile, open_page
from model.book.recording import record
from model.book.replay import replay
from model.book.start import start_page
from model.book.take import Hand, reading_edit
from model.book.ticks import (
    ENDING,
    TicksFile,
    new_ticks,
    read_ticks,
    renewed,
    tick,
    ticks_path,
    with_readings_page,
)
from model.book.ticks_value import Ticks
from model.compare.putback.answer import PutBack
from model.compare.putback.asked import Asked
from model.compare.putback.basis import basis_of
from model.compare.putback.differences import frame_of_place
from model.compare.putback.enough import enough_put_back
from model.compare.putback.make import Choices, put_back
from model.compare.putback.pages import asked_of
from model.compare.putback.short import short_put_back
from model.compare.putback.wanted_rig import hangs_alike
from model.compare.putback.work import Work, ticks_for
from model.disk.guard import read_text
from model.disk.journal import Journal
from model.disk.save import CHANGED
from model.errors import CannotDo, ClampbookError, NotSaved, Problem, UnreadableFile
from model.readings.instruments import SEEN
from model.readings.quantity import Refusal
from model.rig.page import Page
from model.space.as_read import is_along

MOMENT = "put back"


@dataclass(frozen=True)
class Desk:
    """A put-back and its files: both pages, the ticks once there are any, the re-readings.

    The file of ticks has the ``whole`` list, also while a part of it is worked on.
    """

    now: PageFile
    wanted: PageFile
    folder: FilePath
    work: Work
    whole: PutBack
    ticks: TicksFile | None = None
    readings: PageFile | None = None
    journal: Journal | None = None

    @property
    def asked(self) -> Asked:
        """The put-back that is asked for."""
        return self.work.basis.asked


def list_behind(page: FilePath) -> tuple[FilePath, FilePath] | None:
    """Return the pages from and to of the put-back whose re-readings a page holds; None else.

    That page has little read yet: its own list would be nearly empty, and the work half done.
    """
    for path in sorted(page.parent.glob(f"*{ENDING}")):
        try:
            ticks = read_ticks(path).ticks
        except ClampbookError:
            continue  # whoever opens that list is told
        if ticks.readings == page.stem:
            return page.with_name(f"{ticks.now}.toml"), page.with_name(f"{ticks.wanted}.toml")
    return None


def open_desk(
    now: PageFile, wanted: PageFile, choices: Choices, journal: Journal | None = None
) -> Desk:
    """Work the put-back out, and go on where its ticks were left.

    Re-readings that wait in the journal are recorded. Raises :class:`CannotDo` for two rigs or one
    page, :class:`UnreadableFile` where the ticks or the page of re-readings cannot be read.
    """
    asked = asked_of(now, wanted)
    work = Work(basis_of(asked), put_back(asked, choices), choices)
    desk = Desk(now, wanted, now.path.parent, work, work.answer, journal=journal)
    path = ticks_path(desk.folder, now.name, wanted.name)
    return with_ticks(desk, read_ticks(path)) if path.exists() else desk


def with_ticks(desk: Desk, ticks: TicksFile) -> Desk:
    """Return the desk with its ticks as they are on the disk, and the readings that they name."""
    readings = _readings(desk, ticks)
    work = desk.work.with_done(ticks.ticks.done_of(_wished(desk)))
    work = work.with_readings(readings.page if readings else None)
    return replace(desk, ticks=ticks, readings=readings, work=work)


def _readings(desk: Desk, ticks: TicksFile) -> PageFile | None:
    """Return the page of re-readings as it is on the disk now, that of two people alike."""
    name = ticks.ticks.readings
    if name is None:
        return None
    path = desk.folder / f"{name}.toml"
    if not path.exists():
        problem = Problem(
            code="no-readings",
            what=f"the re-readings of this put-back are on {name}, and that page is gone",
            why="without it what was read again would be lost in silence",
            right=f'put {name}.toml back; or write readings = "" to go on without it',
            path=str(ticks.path),
        )
        raise CannotDo("the put-back cannot go on", (problem,))
    file = open_page(path)
    return file if desk.journal is None else replay(file, desk.journal).file


def seen_again(desk: Desk) -> Desk:
    """Return the desk with what someone else ticked or read meanwhile; raises as opening does."""
    if desk.ticks is None:
        path = ticks_path(desk.folder, desk.now.name, desk.wanted.name)
        return with_ticks(desk, read_ticks(path)) if path.exists() else desk
    fresh = read_ticks(desk.ticks.path)
    is_same = fresh.sha256 == desk.ticks.sha256
    if is_same and desk.readings is not None and desk.readings.path.exists():
        is_same = read_text(desk.readings.path).sha256 == desk.readings.sha256
    return desk if is_same else with_ticks(desk, fresh)


def strangers(desk: Desk) -> tuple[str, ...]:
    """Return what the list has and its file has not: the pages changed since it was begun."""
    if desk.ticks is None:
        return ()
    return desk.ticks.ticks.strangers(_wished(desk))


def _wished(desk: Desk) -> Ticks:
    """Return the whole list's ticks, and those that only the part that is worked on has.

    A bar that the whole list rolls may be left tight by a part of it, and its clamps set one by
    one.
    """
    whole = ticks_for(desk.whole)
    more = [held for held in ticks_for(desk.work.answer).moves if held.key not in whole.by_key]
    if not more:
        return whole
    return Ticks(now=whole.now, wanted=whole.wanted, moves=(*whole.moves, *more))


def ticked(desk: Desk, keys: tuple[str, ...], by: str | None, *, done: bool = True) -> Desk:
    """Tick moves, or take their ticks away; when this returns, they are on the disk.

    The first tick begins the file. Where the pages changed since it was begun, it is written anew:
    what goes where it went keeps its tick.
    """
    file = _file(desk)
    for key in keys:
        file = tick(file, key, done, by)
    return with_ticks(desk, file)


def _file(desk: Desk) -> TicksFile:
    wished = _wished(desk)
    if desk.ticks is None:
        path = ticks_path(desk.folder, desk.now.name, desk.wanted.name)
        return read_ticks(path) if path.exists() else new_ticks(path, wished)
    if not strangers(desk):
        return desk.ticks
    return renewed(desk.ticks, wished)


def read_again(desk: Desk, key: str, typed: str, hand: Hand, began: datetime) -> Desk | Refusal:
    """Record a re-reading on the put-back's own page, begun at the first one; it is on the disk.

    The page as it was found keeps what it says. Raises as the page's own save does.
    """
    with suppress(UnreadableFile):  # a folder that is unplugged: the reading is kept all the same
        desk = seen_again(desk)
    page = desk.readings or desk.now
    declared = page.page.declared.get(key)
    if declared is None:
        return Refusal("that part is not on tonight's page", "its own line, once it is hung there")
    if other := _measured_otherwise(desk, page.page, key):
        return other
    edit = reading_edit(page.page, key, typed, _as_told(desk, page.page, key, hand))
    if isinstance(edit, Refusal):
        return edit
    desk = desk if desk.readings is not None else _with_page(desk, began)
    try:
        return _recorded(desk, edit)
    except NotSaved as error:
        if all(problem.code != CHANGED for problem in error.problems):
            raise
        return _recorded(seen_again(desk), edit)  # the other one's reading is kept


def _measured_otherwise(desk: Desk, page: Page, key: str) -> Refusal | None:
    """Refuse a number that the page would take for another place than the line tells."""
    owner = page.declared[key].owner
    part, home = page.by_id.get(owner), desk.wanted.page.by_id.get(owner)
    if part is None or home is None or page.declared[key].name.startswith("dial."):
        return None
    if not hangs_alike(part, home):
        return Refusal(
            f"on {desk.now.name} {part.name} hangs elsewhere",
            "tick it; read it on a page that says where it hangs now",
        )
    otherwise = frame_of_place(part, page) != frame_of_place(home, desk.wanted.page)
    if otherwise and is_along(page, key):
        measured = page.declared[key].measured
        return Refusal(
            f"{desk.now.name} measures it otherwise than the line: {measured}",
            "tick it; or read it on that page, as it measures",
        )
    return None


def _as_told(desk: Desk, page: Page, key: str, hand: Hand) -> Hand:
    """Return the hand with the instrument that the line names, where none was chosen."""
    line = next((line for line in desk.work.answer.lines if line.tick == key), None)
    instrument = page.by_instrument.get(line.using or "") if line is not None else None
    if line is None or instrument is None or hand.using is not None or instrument.id == SEEN:
        return hand
    if instrument.uncertainty(line.quantity) is None:
        return hand
    is_usual = line.read_from is None or line.read_from == instrument.read_from
    return replace(hand, using=instrument.id, read_from=None if is_usual else line.read_from)


def _recorded(desk: Desk, edit: SettingEdit) -> Desk:
    assert desk.readings is not None
    readings = record(desk.readings, edit, desk.journal, edit.key)
    return replace(desk, readings=readings, work=desk.work.with_readings(readings.page))


def _with_page(desk: Desk, began: datetime) -> Desk:
    """Begin the page of re-readings, everything carried, and name it in the file of ticks."""
    if not (desk.folder / "book.toml").is_file():
        problem = Problem(
            code="no-book",
            what="a re-reading goes to a page of its own, and this page is in no book",
            right="a folder with book.toml",
            path=str(desk.folder),
        )
        raise CannotDo("not recorded", (problem,))
    head = desk.now.page.head
    moment = next(
        name
        for name in (MOMENT, *(f"{MOMENT} {number}" for number in range(2, 100)))
        if not (desk.folder / f"{page_name(head.date, name)}.toml").exists()
    )
    page = start_page(desk.folder, desk.now.path, Begin(head.date, began, moment))
    return with_ticks(desk, with_readings_page(_file(desk), page.name))


def shortened(desk: Desk, minutes: float | None) -> Desk:
    """Return the desk with a part of the moves: those that bring the pieces nearest to home in so
    many minutes, or with None those that are enough for their tolerances."""
    if minutes is None:
        answer = enough_put_back(desk.asked, desk.work.choices)
    else:
        answer = short_put_back(desk.asked, desk.work.choices, minutes)
    return replace(desk, work=replace(desk.work, answer=answer))
