"""``adopt``: chosen pieces of a page become home, as a new home; or a whole page does."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from model.clean import clean
from model.errors import CannotDo, Problem
from tui.commands.shared import (
    NOTHING,
    SOMETHING,
    Clock,
    add_json,
    add_unit,
    reader_config,
    say,
    say_json,
    unit_of,
)

if TYPE_CHECKING:
    from model.book.adopt_answer import Adopted, AdoptedSetting, LeftSetting
    from model.frozen import Frozen
    from model.readings.quantity import LengthUnit
    from model.rig.page import Page

HELP = "make pieces of a page the new normal: a new home from the old one"
DESCRIPTION = """\
Make the new normal, piece by piece: a new home is made from the old one, with what was read or seen
of the chosen pieces on PAGE, and is meant from then on where no home is named. The old home keeps
its name and its page.

    clampbook adopt tour/2026-03-22 --pieces snare,throne --reason "lower since the injury"

Adopted are the settings of the pieces, and of the parts that hold nothing but them. What also holds
other pieces (a post, a bar) stays as it is at home, so that a lowered snare adopts no slipped
crash; what differs there is told. --with-shared adopts it too and tells which pieces then move.

Or name a whole page as one more home, as it is; it is meant where no home is named only with
--first:

    clampbook adopt tour/2026-03-21-after-fill-in --all --as fill-in
"""


def add_options(parser: argparse.ArgumentParser) -> None:
    """Declare what the command asks for."""
    parser.description = DESCRIPTION
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.add_argument(
        "page",
        metavar="PAGE",
        nargs="?",
        help="the page to adopt from: its file, BOOK/NAME, BOOK/DATE, or a book (its last page)",
    )
    parser.add_argument(
        "--pieces",
        action="append",
        metavar="PIECE,PIECE",
        help="which pieces, by role, name or id, with commas between; may be given again",
    )
    parser.add_argument("--all", action="store_true", help="name the whole page as a home")
    parser.add_argument("--reason", help="why it is so from now on; it stands in the new home")
    parser.add_argument(
        "--from-home", metavar="HOME", help="the home to make it from; the first one if left out"
    )
    parser.add_argument(
        "--as",
        dest="name",
        metavar="NAME",
        help="what the new home is called; the old one's name and the date if left out",
    )
    parser.add_argument(
        "--with-shared", action="store_true", help="adopt what also holds other pieces, too"
    )
    parser.add_argument(
        "--first", action="store_true", help="with --all: meant where no home is named"
    )
    parser.add_argument("--by", help="your initials, for the new home's notes")
    add_unit(parser)
    add_json(parser)


def answer_type() -> type[Frozen]:
    """Return the type of the answer."""
    from model.book.adopt_answer import Adopted

    return Adopted


def run(asked: argparse.Namespace, clock: Clock) -> int:
    """Adopt; exit status 1 where something stayed as it was at home, or another piece moves."""
    from model.book.find import find_meant, find_page
    from model.book.new_home import Wish, adopt_page, adopt_pieces
    from model.book.page_file import open_page

    config = reader_config()
    source = find_page(asked.page or ".", Path.cwd())
    folder = find_meant(str(source), Path.cwd()).folder
    if folder is None:
        raise _cannot("no-book", "the page is in no book", "a page beside its book.toml")
    page = open_page(source).page
    _check_asked(asked, page)
    if asked.all:
        reason = asked.reason or ""
        answer = adopt_page(folder, source, asked.name, first=asked.first, reason=reason)
    else:
        wish = Wish(
            pieces=_pieces(page, asked.pieces),
            reason=asked.reason or "",
            began=clock(),
            by=asked.by or config.by,
            from_home=asked.from_home,
            name=asked.name,
            with_shared=asked.with_shared,
        )
        answer = adopt_pieces(folder, source, wish)
    if asked.json:
        say_json(answer)
    else:
        lines = adopted_lines(answer, page, unit_of(asked, config))
        say("\n".join(clean(line) for line in lines))
    return SOMETHING if answer.something else NOTHING


def _check_asked(asked: argparse.Namespace, page: Page) -> None:
    """Refuse options that do not go together: none is passed over in silence."""
    from model.rig.naming import piece_labels

    if asked.all:
        for word in ("pieces", "from_home", "with_shared"):
            if getattr(asked, word):
                option = f"--{word.replace('_', '-')}"
                what = f"{option} goes with pieces, and --all names the whole page"
                raise _cannot("options", what, f"--all without {option}, or {option} without --all")
        if asked.name is None:
            raise _cannot("options", "a page is named as a home by a name", "--all --as fill-in")
        return
    if not asked.pieces:
        roles = ", ".join(piece_labels(page))
        what = "a new normal is made piece by piece: say which"
        raise _cannot("no-pieces", what, f"--pieces with some of: {roles}; or --all --as NAME")
    if asked.first:
        what = "--first goes with --all; a home made of pieces comes first anyway"
        raise _cannot("options", what, "leave --first out")


def _cannot(code: str, what: str, right: str) -> CannotDo:
    problem = Problem(code=code, what=what, right=right)
    return CannotDo("cannot adopt", (problem,))


def _pieces(page: Page, typed: list[str]) -> tuple[str, ...]:
    """Return the ids of the pieces; all that name none are told at once."""
    from model.readings.quantity import Refusal
    from model.rig.naming import find_piece

    found: dict[str, None] = {}
    problems: list[Problem] = []
    for text in typed:
        whole = find_piece(page, text)  # a role may have a comma of its own
        for word in [text] if isinstance(whole, str) else text.split(","):
            piece = find_piece(page, word.strip())
            if isinstance(piece, Refusal):
                problems.append(Problem(code="no-piece", what=piece.why, right=piece.right))
            else:
                found[piece] = None
    if problems:
        raise CannotDo("cannot adopt", tuple(problems))
    return tuple(found)


def adopted_lines(answer: Adopted, page: Page, unit: LengthUnit) -> Iterator[str]:
    """Yield the answer as plain lines; the values of ``page``, which was adopted from."""
    meant = "meant where no home is named" if answer.first else "one more home"
    yield f"{answer.path}: home {answer.home}, {meant}"
    if not answer.made:
        if not answer.closed:
            yield "it is not closed: what is changed on it from now on changes the home"
        return
    yield f"made from {answer.old_home} ({answer.old_page}), which stays: {answer.reason}"
    yield from _adopted(answer, page, unit)
    yield from _left(answer, page, unit)
    if answer.moved:
        yield ""
        yield "not chosen, and elsewhere in the new home"
    for piece in answer.moved:
        yield f"  {piece.name} ({piece.piece}), by {', '.join(piece.by)}"
    if answer.kept:
        yield ""
        yield f"told otherwise on {answer.from_page}, and left as home has it"
    for detail in answer.kept:
        part = f"{detail.part_name} ({detail.part})"
        yield f"  {part}: {detail.field} {detail.page} there, {detail.home} at home"


def _adopted(answer: Adopted, page: Page, unit: LengthUnit) -> Iterator[str]:
    yield ""
    yield f"adopted from {answer.from_page}: {', '.join(answer.pieces)}"
    owner = ""
    for found in answer.adopted:
        if found.part != owner:
            owner = found.part
            yield f"  {found.part_name} ({found.part})"
        shown = _values(found, (found.before, found.value), page, unit)
        same = "as home" if found.before == found.value else f"{shown[0]} -> {shown[1]}"
        yield f"    {found.name:<16} {shown[1] if same == 'as home' else same}  {found.state}" + (
            f", {same}" if same == "as home" else ""
        )


def _left(answer: Adopted, page: Page, unit: LengthUnit) -> Iterator[str]:
    if answer.left:
        yield ""
        yield "left as home has it"
    owner = ""
    for found in answer.left:
        if found.part != owner:
            owner = found.part
            yield f"  {found.part_name} ({found.part})"
        here, home = _values(found, (found.value, found.home), page, unit)
        there = f"{found.state} {here}" if found.value is not None else found.state
        yield f"    {found.name:<16} home {home}, there {there}: {found.words}"


def _values(
    found: AdoptedSetting | LeftSetting,
    values: tuple[float | int | str | None, float | int | str | None],
    page: Page,
    unit: LengthUnit,
) -> list[str]:
    from model.readings.entry import show_value

    asked = page.declared[found.setting].asked(unit)
    return ["open" if value is None else show_value(value, asked) for value in values]
