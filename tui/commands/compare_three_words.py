"""What ``compare --three`` says: home, the last page and this one, in one table."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from model.clean import clean
from tui.commands.compare_words import recorded_words, structure_lines
from tui.commands.move_lines import NAME, cause_lines, move_lines
from tui.moves import signed_change

if TYPE_CHECKING:
    from model.compare.answer import RecordedValue
    from model.compare.three_answer import Against, ThreeCompared, ThreePiece, ThreeSetting
    from model.readings.quantity import LengthUnit
    from model.rig.page import Page

VALUE, CHANGE = 20, 22
FOUND = {"begun from": "this one was begun from it", "the one before": "the one before"}


def three_lines(
    answer: ThreeCompared, page: Page, unit: LengthUnit, show_all: bool = False
) -> Iterator[str]:
    """Yield the answer as plain lines; ``page`` is this one."""
    heads = [(f"home {answer.home_name}", answer.home, "")]
    heads += [("last", answer.last, FOUND.get(answer.last_is, ""))] if answer.last else []
    heads += [("this", answer.this, "")]
    width = max(len(word) for word, _, _ in heads)
    for word, head, how in heads:
        told = f"{head.page}  {head.date} {head.moment}, {head.venue or '-'}"
        yield f"{clean(word):<{width}}  {clean(told)}{f' ({how})' if how else ''}"
    for note in answer.notes:
        yield f"note: {clean(note)}"
    yield from structure_lines(answer.structure_from_home, "structure, from home to this")
    yield from structure_lines(answer.structure_from_last, "structure, from the last to this")
    yield from _pieces(answer, unit, show_all)
    yield from _settings(answer, page, unit, show_all)
    if not (show_all or answer.something or any(held.differs for held in answer.settings)):
        yield ""
        yield "nothing that was measured differs"


def _pieces(answer: ThreeCompared, unit: LengthUnit, show_all: bool) -> Iterator[str]:
    shown = [piece for piece in answer.pieces if show_all or piece.differs]
    if shown:
        yield ""
        yield "pieces: how far each is from its place at home, and this one from the last;"
        yield "in brackets, less than the readings can tell"
    for piece in shown:
        role = piece.role if piece.role and piece.role.casefold() != piece.name.casefold() else ""
        yield f"  {clean(piece.name)}{f' ({clean(role)})' if role else ''}"
        yield from _piece(piece, unit)


def _piece(piece: ThreePiece, unit: LengthUnit) -> Iterator[str]:
    told = (
        ("  last, from home", piece.last_from_home),
        ("  this, from last", piece.this_from_last),
        ("  this, from home", piece.this_from_home),
    )
    for word, found in told:
        if found is not None:
            yield next(move_lines(word, found, unit))
    if piece.this_from_home is not None:
        yield from cause_lines(piece.this_from_home, unit, which_page=False)


def _settings(answer: ThreeCompared, page: Page, unit: LengthUnit, show_all: bool) -> Iterator[str]:
    shown = [held for held in answer.settings if show_all or held.differs]
    if shown:
        yield ""
        last = f"{'last':<{VALUE}} {'from home':<{CHANGE}} " if answer.last else ""
        yield f"  {'':<{NAME}} {'home':<{VALUE}} {last}{'this':<{VALUE}} from home"
    owner = ""
    for held in shown:
        if held.part != owner:
            owner = held.part
            yield f"{clean(held.part_name)} ({held.part})"
        yield _row(held, page, unit, has_last=answer.last is not None)


def _row(held: ThreeSetting, page: Page, unit: LengthUnit, *, has_last: bool) -> str:
    cells = [f"{clean(held.name):<{NAME}}", f"{_value(held.home, held, page, unit):<{VALUE}}"]
    if has_last:
        cells.append(f"{_value(held.last, held, page, unit):<{VALUE}}")
        cells.append(f"{_change(held.last_from_home, held, page, unit):<{CHANGE}}")
    cells.append(f"{_value(held.this, held, page, unit):<{VALUE}}")
    cells.append(_change(held.this_from_home, held, page, unit))
    return f"  {' '.join(cells)}".rstrip()


def _value(value: RecordedValue | None, held: ThreeSetting, page: Page, unit: LengthUnit) -> str:
    if value is None:
        return "not there"
    if held.setting not in page.declared:
        return f"{value.state} {'-' if value.value is None else value.value}"
    return recorded_words(value, page, held.setting, unit, with_page=False)


def _change(against: Against | None, held: ThreeSetting, page: Page, unit: LengthUnit) -> str:
    """Say the difference and what it is worth; a joint's own is called so."""
    if against is None or against.verdict == "not comparable" or held.setting not in page.declared:
        return "-"
    if against.difference is None or against.verdict == "same":
        return against.verdict
    asked = page.declared[held.setting].asked(unit)
    own = " own" if against.converted else ""
    shown = signed_change(against.difference, asked, worked_out=against.converted)
    return f"{shown}{own} {against.verdict}"
