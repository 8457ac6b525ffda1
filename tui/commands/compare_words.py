"""What ``compare`` says of two pages, line by line."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from model.clean import clean
from model.compare.piece_answer import PIECE_VERDICTS, PieceVerdict
from model.readings.entry import show_value
from tui.commands.compare_roles_words import role_lines
from tui.commands.move_lines import cause_lines, move_lines
from tui.moves import change_words, own_words

if TYPE_CHECKING:
    from model.compare.answer import Compared, ComparedPart, ComparedSetting, RecordedValue
    from model.compare.piece_answer import ComparedPiece
    from model.readings.quantity import LengthUnit
    from model.rig.page import Page

QUIET: frozenset[PieceVerdict] = frozenset({"same", "not measured"})
"""What of the pieces is shown only with ``--all``; it is counted all the same."""


def compared_lines(
    answer: Compared, before: Page, after: Page, unit: LengthUnit, show_all: bool = False
) -> Iterator[str]:
    """Yield the answer as plain lines, parts and pieces in walking order."""
    for which, page in (("from", answer.before), ("to  ", answer.after)):
        home = ", a home: what it carries is wanted" if answer.home and which == "from" else ""
        told = f"{which} {page.page}  {page.date} {page.moment}, {page.venue or '-'}"
        yield f"{clean(told)}{home}"
    if answer.roles is not None:
        yield from role_lines(answer.roles, unit)
        return
    if not answer.same_rig:
        rigs = f"{answer.before.rig} and {answer.after.rig}"
        yield f"the rigs differ in name: {clean(rigs)}"
    yield from structure_lines(answer.structure, "structure")
    yield from piece_lines(answer.pieces, unit, show_all)
    yield from _settings(answer, (before, after), unit, show_all)
    yield ""
    if answer.pieces:
        counts = Counter(piece.verdict for piece in answer.pieces)
        told = ", ".join(
            f"{counts[verdict]} {verdict}" for verdict in PIECE_VERDICTS if verdict in counts
        )
        yield f"pieces: {told}"
    words = "settings as they were read: " if answer.as_read else "settings: "
    yield words + ", ".join(
        f"{number} {verdict}" for verdict, number in answer.counts.items() if number
    )


def structure_lines(structure: Sequence[ComparedPart], title: str) -> Iterator[str]:
    """Yield the differences of structure."""
    if structure:
        yield ""
        yield title
    for change in structure:
        detail = f"{change.before or '-'} -> {change.after or '-'}"
        words = f"{change.field}: {detail}" if change.field else detail.strip("-> ")
        yield f"  {change.change:<14} {clean(change.name)} ({change.id})  {clean(words)}"


def piece_lines(pieces: Sequence[ComparedPiece], unit: LengthUnit, show_all: bool) -> Iterator[str]:
    """Yield how the pieces moved, with what caused it."""
    shown = [piece for piece in pieces if show_all or piece.verdict not in QUIET]
    if shown:
        yield ""
        yield "pieces: how the middle of each moved, and how its tilt changed; in brackets, less"
        yield "than the readings can tell; what a setting did against the move has a minus"
    for piece in shown:
        yield from move_lines(piece.name, piece, unit)
        yield from cause_lines(piece, unit)


def _settings(
    answer: Compared, pages: tuple[Page, Page], unit: LengthUnit, show_all: bool
) -> Iterator[str]:
    owner = ""
    for found in answer.settings:
        if not show_all and found.verdict not in ("moved", "unsure"):
            continue
        if found.part != owner:
            owner = found.part
            yield ""
            yield f"{clean(found.part_name)} ({found.part})"
        sides = [
            recorded_words(held, page, found.setting, unit)
            for held, page in zip((found.before, found.after), pages, strict=True)
        ]
        yield f"  {found.name:<16} {sides[0]:<22} -> {sides[1]:<22}{_change(found, pages[1], unit)}"


def recorded_words(
    held: RecordedValue, page: Page, setting: str, unit: LengthUnit, *, with_page: bool = True
) -> str:
    """Say what a page records of a setting: its state, its value, where it was carried from."""
    asked = page.declared[setting].asked(unit)
    value = "-" if held.value is None else show_value(held.value, asked)
    is_told = with_page and held.state == "carried"
    return f"{held.state} {clean(value)}" + (f" of {clean(held.page or '')}" if is_told else "")


def _change(found: ComparedSetting, page: Page, unit: LengthUnit) -> str:
    asked = page.declared[found.setting].asked(unit)
    own = f"{own_words(found, asked)}, " if found.converted else ""
    moved = f"  {own}{change_words(found, asked)}" if found.difference is not None else ""
    u = found.u if not found.converted or found.u is None else round(found.u, 1)
    sure = f" (±{show_value(2 * u, asked)})" if u else ""
    why = f"  {found.why}" if found.why else ""
    return f"{moved}{sure}  {found.verdict}{why}"
