"""``positions``: where each piece of a page is, how it leans, and how sure that is."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from model.clean import clean
from tui.commands.shared import (
    NOTHING,
    SOMETHING,
    Clock,
    add_json,
    add_page,
    add_unit,
    reader_config,
    say,
    say_json,
    tell_waiting,
    unit_of,
)

if TYPE_CHECKING:
    from model.frozen import Frozen
    from model.readings.quantity import LengthUnit
    from model.rig.page import Page
    from model.space.answer import PagePositions, PiecePosition
    from model.space.positions import Positions

HELP = "say where each piece is, how it leans, and how sure that is"

MOST_SHARES = 3
MOST_KEYS = 4
NAME, PLACE, WIDTH = 16, 14, 80


def add_options(parser: argparse.ArgumentParser) -> None:
    """Declare what the command asks for."""
    add_page(parser)
    parser.add_argument("--faults", action="store_true", help="only what stands in the way")
    add_unit(parser)
    add_json(parser)


def answer_type() -> type[Frozen]:
    """Return the type of the answer."""
    from model.space.answer import PagePositions

    return PagePositions


def run(asked: argparse.Namespace, clock: Clock) -> int:
    """Say the positions; exit status 1 where a place is unknown or something stands in the way."""
    from model.book.find import find_page
    from model.book.page_file import open_page
    from model.space.answer import page_positions
    from model.space.positions import Positions

    unit = unit_of(asked, reader_config())
    file = open_page(find_page(asked.page, Path.cwd()))
    tell_waiting(clock, file)
    positions = Positions(file.page)
    answer = page_positions(file.page, file.name, positions)
    if asked.json:
        say_json(answer)
    else:
        if asked.faults:
            lines = in_the_way_lines(answer, positions)
        else:
            lines = position_lines(answer, file.page, unit)
        say("\n".join(lines))
    return SOMETHING if answer.something else NOTHING


def position_lines(answer: PagePositions, page: Page, unit: LengthUnit) -> Iterator[str]:
    """Yield the answer as plain lines: the pieces in the page's order, then what is in the way."""
    from model.readings.lengths import show_place

    head = page.head
    yield clean(f"{answer.page}  {head.date.isoformat()} {head.moment}, {head.venue or '-'}")
    yield "the middle of each surface from the zero mark, its near and far edge over the rug;"
    yield "± covers 95 %; toward: where the low edge is, clockwise from straight ahead"
    for piece in answer.pieces.values():
        yield ""
        yield from piece_lines(piece, page, unit)
    closures = [(key, bar.closure) for key, bar in answer.bars.items() if bar.closure is not None]
    if closures:
        yield ""
        yield "clamps farther apart (+) or nearer (-) than the places on their bar say"
    for key, closure in closures:
        shown = show_place(abs(closure), unit)
        sign = "" if shown == show_place(0.0, unit) else "+" if closure > 0 else "-"
        yield f"  {clean(page.by_id[key].name):<28} {sign:>1}{shown}"
    if answer.left_out:
        yield ""
        yield f"not known where: {_some(answer.left_out)}"
    yield from fault_lines(answer)


def piece_lines(piece: PiecePosition, page: Page, unit: LengthUnit) -> Iterator[str]:
    """Yield one piece's lines: its place, how sure that is, and what it rests on."""
    from model.readings.lengths import show_place

    name, blank = f"{clean(piece.name):<{NAME}}", " " * NAME
    if piece.centre is None:
        yield f"{name} unknown; {_why_unknown(piece.open, page) or 'see below'}"
        return
    places = [show_place(abs(v), unit) for v in piece.centre]
    x, y, _ = piece.centre
    words = ("right" if x >= 0 else "left", "ahead" if y >= 0 else "behind", "up")
    row = "".join(f"{f'{p} {w}':<{PLACE + 4}}" for p, w in zip(places, words, strict=True))
    yield f"{name} {row}{'assumed' if piece.state == 'unknown' else piece.state}"
    u = piece.u95
    if u is None:
        yield f"{blank} ± not known: how sure {_some(piece.unsure)} is was not said, or cannot be"
    else:
        sure = (f"± {show_place(v, unit)}" for v in (u.right, u.ahead, u.up))
        yield f"{blank} {''.join(f'{s:<{PLACE + 4}}' for s in sure)}".rstrip()
    yield f"{blank} {_lean(piece)}{_edges(piece, unit)}"
    if piece.rests_on:
        yield from _in_lines(f"{blank} rests on ", _shares(piece, page))
    if piece.assumed:
        yield f"{blank} assumed, not measured, and not in the ±: {_some(piece.assumed)}"
    for state, keys in (("carried", piece.carried), ("seen", piece.seen)):
        if keys:
            yield f"{blank} {state}: {_some(keys)}"


def _shares(piece: PiecePosition, page: Page) -> Iterator[str]:
    """Yield what a place rests on most, and what that was read with: what to measure better."""
    for share in piece.rests_on[:MOST_SHARES]:
        using = page.setting(share.setting).using if share.setting in page.declared else None
        by = f" by {clean(using)}" if using else ""
        yield f"{share.setting}{by} {100 * share.share:.0f} %"


def _in_lines(lead: str, words: Iterator[str]) -> Iterator[str]:
    """Yield words with commas, on as many lines as they need, below each other."""
    line, first = lead, True
    for word in words:
        if not first and len(line) + len(word) + 3 > WIDTH:
            yield f"{line},"
            line, first = " " * len(lead), True
        line += word if first else f", {word}"
        first = False
    yield line


def _some(keys: tuple[str, ...]) -> str:
    more = f" and {len(keys) - MOST_KEYS} more" if len(keys) > MOST_KEYS else ""
    return f"{', '.join(keys[:MOST_KEYS])}{more}"


def _why_unknown(keys: tuple[str, ...], page: Page) -> str:
    open_ = tuple(key for key in keys if page.setting(key).state == "open")
    following = tuple(key for key in keys if key not in open_)
    words = [f"open: {_some(open_)}"] if open_ else []
    words += [f"follows, and nothing fixes it: {_some(following)}"] if following else []
    return "; ".join(words)


def _lean(piece: PiecePosition) -> str:
    from model.readings.angles import show_angle

    assert piece.lean is not None
    lean = show_angle(round(piece.lean, 1))
    sure = ""
    if piece.u95 is not None:
        tilts = (piece.u95.tilt_ahead, piece.u95.tilt_right)
        known = [tilt for tilt in tilts if tilt is not None]
        sure = f" ± {show_angle(round(max(known), 1))}" if len(known) == 2 else ""
    if piece.toward is None:
        if piece.lean > 90.0:
            return f"upside down within {show_angle(round(180.0 - piece.lean, 1))}{sure}"
        return f"level within {lean}{sure}"
    return f"leans {lean}{sure} toward {show_angle(round(piece.toward))}"


def _edges(piece: PiecePosition, unit: LengthUnit) -> str:
    from model.readings.lengths import show_place

    if piece.near_edge is None or piece.far_edge is None:
        return ""
    return f"; near {show_place(piece.near_edge, unit)}, far {show_place(piece.far_edge, unit)}"


def in_the_way_lines(answer: PagePositions, positions: Positions) -> Iterator[str]:
    """Yield what stands in the way of places, then which are unknown, and for which settings."""
    page, unknown = positions.page, []
    for key, piece in answer.pieces.items():
        if piece.centre is None:
            unknown.append((key, _why_unknown(piece.open, page)))
        elif piece.state == "unknown":
            unknown.append((key, f"assumed, not measured: {_some(piece.assumed)}"))
    for key in answer.left_out:
        unknown.append((key, _why_unknown(positions.open_settings(key), page)))
    faults = list(fault_lines(answer))[1:]
    if faults:
        yield from (*faults, "") if unknown else faults
    else:
        yield "nothing stands in the way" + ("" if unknown else "; every place is known")
    if unknown:
        yield "not known where:"
    for key, why in unknown:
        yield f"  {clean(page.by_id[key].name):<{NAME}} {why or 'see above'}"


def fault_lines(answer: PagePositions) -> Iterator[str]:
    """Yield what stands in the way of places."""
    for fault in answer.faults:
        yield ""
        yield f"{clean(fault.key)}: {clean(fault.what)}"
        if fault.why:
            yield f"  why: {clean(fault.why)}"
        if fault.right:
            yield f"  right: {clean(fault.right)}"
