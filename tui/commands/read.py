"""``read``: takes one reading from the command line, or many from standard input."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from model.errors import CannotDo, ClampbookError, NotConfirmed, NotSaved, Problem
from model.readings.angles import READ_FROM
from tui.commands.read_lines import Line, lines_of, with_options
from tui.commands.shared import (
    COULD_NOT,
    NOTHING,
    SOMETHING,
    Clock,
    add_json,
    add_unit,
    reader_config,
    say_json,
    say_lines,
    stdin_lines,
    unit_of,
)
from tui.places import page_journal, short_path

if TYPE_CHECKING:
    from model.book.answer import ReadingsTaken, ReadingTaken
    from model.book.edits import SettingEdit
    from model.book.page_file import PageFile
    from model.book.replay import Replayed
    from model.book.take import Hand
    from model.disk.journal import Journal
    from model.frozen import Frozen
    from model.readings.quantity import Refusal

HELP = "take a reading, or many from standard input"
DESCRIPTION = """\
Take one reading: PART SETTING VALUE. Or many, a line each, from standard input:

    ride-boom reach 14 3/8"
    "Left post" turn 35 | using=eye
    snare-basket height @seen
    tom-arm tilt @open

PART is an id or a name (in quotes if it has spaces); both may be shortened while they stay clear.
VALUE is what one would type at stage side; @seen marks the carried value as seen at its mark, @open
says that nothing is known any more. After a | may come using=, u=, from=, note= (note last).
A line that is refused is told and changes nothing; every other one is on the disk before the next.
"""


def add_options(parser: argparse.ArgumentParser) -> None:
    """Declare what the command asks for."""
    parser.description = DESCRIPTION
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.add_argument("page", metavar="PAGE", nargs="?", help="a page, or a book (its last page)")
    parser.add_argument("part", metavar="PART", nargs="?", help="left out: from standard input")
    parser.add_argument("setting", metavar="SETTING", nargs="?")
    parser.add_argument("value", metavar="VALUE", nargs="*")
    parser.add_argument("--by", help="your initials")
    parser.add_argument("--using", metavar="INSTRUMENT", help="tape, level, eye, …")
    parser.add_argument("--u", type=float, help="standard uncertainty, where it is not the usual")
    parser.add_argument(
        "--from", dest="read_from", choices=READ_FROM, help="what an angle was read from"
    )
    parser.add_argument("--note", help="a note on the reading")
    add_unit(parser)
    add_json(parser)


def answer_type() -> type[Frozen]:
    """Return the type of the answer."""
    from model.book.answer import ReadingsTaken

    return ReadingsTaken


def run(asked: argparse.Namespace, clock: Clock) -> int:
    """Take the readings; say what was saved and what was refused."""
    from model.book.answer import ReadingsTaken
    from model.book.find import find_page
    from model.book.page_file import open_page
    from model.book.replay import lines_of, replay
    from model.book.take import Hand

    config = reader_config()
    hand = Hand(
        unit=unit_of(asked, config),
        by=asked.by or config.by,
        using=asked.using,
        u=asked.u,
        read_from=asked.read_from,
        note=asked.note,
    )
    journal = page_journal(clock)
    replayed = replay(open_page(find_page(asked.page or ".", Path.cwd())), journal)
    file = replayed.file
    if not asked.json:
        _say_waited(replayed)
    readings: list[ReadingTaken] = []
    noted: list[str | None] = []
    for line in _lines_asked(asked):
        taken, file = _take(line, file, hand, journal)
        readings.append(taken)
        noted.append(file.held.ids[-1] if taken.kept and file.held else None)
        if not asked.json:
            say_lines(_in_words(taken))
    # What the disk refused a moment ago may have gone into the book with a later one.
    fates = {line.id: line.fate for line in lines_of(file, journal)}
    readings = [
        taken.model_copy(update={"saved": True, "kept": None})
        if fates.get(id_ or "") == "saved"
        else taken
        for taken, id_ in zip(readings, noted, strict=True)
    ]
    waited = [line.what for line in replayed.recorded if fates.get(line.id) == "saved"]
    answer = ReadingsTaken(
        page=file.name, path=str(file.path), readings=tuple(readings), waited=tuple(waited)
    )
    if asked.json:
        say_json(answer)
    return _status(answer)


def _status(answer: ReadingsTaken) -> int:
    if not answer.safe:
        return COULD_NOT
    odd = any(reading.flag or not reading.saved for reading in answer.readings)
    return SOMETHING if odd else NOTHING


def _lines_asked(asked: argparse.Namespace) -> Iterable[Line]:
    if asked.part is None or asked.part == "-":
        return lines_of(stdin_lines())
    return [Line(None, asked.part, asked.setting or "", " ".join(asked.value))]


def _take(
    line: Line, file: PageFile, hand: Hand, journal: Journal
) -> tuple[ReadingTaken, PageFile]:
    from model.book.answer import ReadingTaken
    from model.book.page_file import open_page
    from model.book.replay import replay
    from model.book.take import open_edit, reading_edit, seen_edit
    from model.readings.entry import show_value
    from model.readings.quantity import Refusal
    from model.rig.naming import find_owner, find_setting
    from model.rig.record_flags import limit_flag

    def refused(refusal: Refusal, key: str | None = None) -> tuple[ReadingTaken, PageFile]:
        typed = f"{line.part} {line.setting} {line.value}".strip()
        return ReadingTaken(
            line=line.number,
            setting=key,
            typed=typed,
            saved=False,
            refused=refusal.why,
            right=refusal.right,
        ), file

    owner = find_owner(file.page, line.part)
    if isinstance(owner, Refusal) and "." in line.part:
        # part.setting, as the program itself prints it
        first, _, name = line.part.partition(".")
        value = f"{line.setting} {line.value}".strip()
        line = replace(line, part=first, setting=name, value=value)
        owner = find_owner(file.page, first)
    if not line.setting or not line.value:
        return refused(Refusal("a reading is PART SETTING VALUE", 'ride-boom reach 14 3/8"'))
    hand_now = with_options(hand, line.options)
    if isinstance(hand_now, Refusal):
        return refused(hand_now)
    if isinstance(owner, Refusal):
        return refused(owner)
    key = find_setting(file.page, owner, line.setting)
    if isinstance(key, Refusal):
        return refused(key)
    if line.value in ("@seen", "@open") and line.options:
        return refused(Refusal(f"{line.value} takes nothing after a |", line.value), key)
    match line.value:
        case "@seen":
            edit = seen_edit(file.page, key, file.name, hand_now.by)
        case "@open":
            edit = open_edit(file.page, key)
        case _:
            edit = reading_edit(file.page, key, line.value, hand_now)
    if isinstance(edit, Refusal):
        return refused(edit, key)
    declared, before = file.page.declared[key], file.page.setting(key)
    unconfirmed = False
    try:
        file = _recorded(file, edit, journal)
    except NotConfirmed:
        file, unconfirmed = open_page(file.path), True
    except ClampbookError as error:
        first_problem = error.first
        why = f"{error.title}: {first_problem.what}" if first_problem else error.title
        with suppress(ClampbookError):  # the next line is taken on the page as it is now
            file = replay(open_page(file.path), journal).file if file.held is None else file
        return refused(Refusal(why, first_problem.right if first_problem else "try again"), key)
    after = file.page.setting(key)
    asked = declared.asked(hand_now.unit)
    flag = limit_flag(key, after, declared, hand_now.unit)
    return ReadingTaken(
        line=line.number,
        setting=key,
        typed=line.value,
        saved=file.held is None and not unconfirmed,
        kept=str(journal.path_of(file.id)) if file.held or unconfirmed else None,
        unconfirmed=unconfirmed,
        state=after.state,
        value=after.value,
        shown=None if after.value is None else show_value(after.value, asked),
        before=None if before.value is None else show_value(before.value, asked),
        flag=f"{flag.what}; {flag.why}" if flag else None,
    ), file


def _recorded(file: PageFile, edit: SettingEdit, journal: Journal) -> PageFile:
    """Record; beside what someone else recorded meanwhile, but never over the same line."""
    from model.book.page_file import open_page
    from model.book.recording import record
    from model.book.replay import replay
    from model.disk.told import CHANGED

    try:
        return record(file, edit, journal, edit.key)
    except NotSaved as error:
        if all(problem.code != CHANGED for problem in error.problems):
            raise
    fresh = replay(open_page(file.path), journal).file
    if edit.key not in fresh.page.declared:
        raise _theirs("someone else took that part off the page meanwhile", "a part of the page")
    if edit.undone_on(fresh.page) != edit.undone_on(file.page):
        raise _theirs("someone else changed the same line meanwhile", "look at it, then once more")
    return record(fresh, edit, journal, edit.key)


def _theirs(what: str, right: str) -> CannotDo:
    return CannotDo("not recorded", (Problem(code="theirs", what=what, right=right),))


def _say_waited(replayed: Replayed) -> None:
    """Say what of the journal reached the book before the first reading, and what did not."""
    for line in replayed.recorded:
        word = "saved now" if replayed.file.held is None else "not in the book yet"
        say_lines([f"had not reached the book, {word}: {line.what}, of {line.at}"])
    for line in replayed.stay:
        say_lines([f"not in the book: {line.what}, of {line.at}; clampbook recover tells why"])


def _in_words(taken: ReadingTaken) -> Iterator[str]:
    where = f"line {taken.line}: " if taken.line is not None else ""
    if not taken.saved and taken.kept is None:
        what = taken.setting or taken.typed
        yield f"{where}refused: {what}: {taken.refused}; right: {taken.right}"
        return
    was = f", was {taken.before}" if taken.before and taken.before != taken.shown else ""
    kept = ""
    if taken.kept is not None:
        folder = short_path(Path(taken.kept).parent)
        held = "not in the book, which takes nothing now"
        if taken.unconfirmed:
            held = "in the page, but the disk did not confirm it"
        kept = f"; {held}; safe in {folder}"
    yield f"{where}{taken.setting} {taken.state} {taken.shown or ''}{was}{kept}".rstrip()
    if taken.flag:
        yield f"{where}flagged: {taken.flag}"
