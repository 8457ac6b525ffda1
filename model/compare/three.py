"""Home, the last page and this one at once: one table of settings, and one of pieces."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from model.book.book import Book
from model.compare.answer import Compared, ComparedSetting
from model.compare.rigs import why_two_rigs
from model.compare.three_answer import Against, ThreeCompared, ThreePiece, ThreeSetting
from model.compare.which_three import Three, refused_three
from model.compare.whole import whole_comparison
from model.rig.page import Page


def compare_three(
    three: Three, home: Page, last: Page | None, this: Page, book: Book
) -> ThreeCompared:
    """Compare three pages of one rig, each against home and this one against the last.

    Raises :class:`CannotDo` where home is of another rig. A last page of another rig, or one that
    could not be read (``last`` is None), is left out, and that is said.
    """
    if why := why_two_rigs(home, this):
        raise refused_three(
            "two-rigs",
            f"{three.this.name} and the home {three.home.name} are of two rigs: {why}",
            f"clampbook compare {three.home.name} {three.this.name}, which goes by role",
        )
    notes = list(three.notes)
    if last is None and three.last is not None:
        notes.append(f"{three.last.name} cannot be read, and is left out")
    if last is not None and (why := why_two_rigs(last, this)):
        notes.append(f"{three.last.name if three.last else ''} is left out: {why}")
        last = None

    def held(pages: tuple[Page, Page], names: tuple[str, str], *, wanted: bool) -> Compared:
        return whole_comparison(
            pages, names, walk=book.walk, tolerances=book.tolerances, wanted=wanted
        )

    now = held((home, this), (three.home.name, three.this.name), wanted=True)
    then, since = None, None
    if last is not None and three.last is not None:
        then = held((home, last), (three.home.name, three.last.name), wanted=True)
        is_home = three.last.name == three.home.name
        names = three.last.name, three.this.name
        since = now if is_home else held((last, this), names, wanted=False)
    return ThreeCompared(
        home_name=three.home_name,
        home=now.before,
        last=since.before if since else None,
        last_is=three.last_is if since else "none",
        this=now.after,
        structure_from_home=now.structure,
        structure_from_last=since.structure if since else (),
        settings=_settings(then, now, since),
        pieces=_pieces(then, now, since),
        notes=tuple(notes),
    )


def _by_key(answer: Compared | None) -> Mapping[str, ComparedSetting]:
    return {found.setting: found for found in answer.settings} if answer else {}


def _settings(
    then: Compared | None, now: Compared, since: Compared | None
) -> tuple[ThreeSetting, ...]:
    found = [_by_key(answer) for answer in (then, now, since)]
    keys = dict.fromkeys(key for held in (found[1], found[2], found[0]) for key in held)
    return tuple(_setting(*(held.get(key) for held in found)) for key in keys)


def _setting(
    then: ComparedSetting | None, now: ComparedSetting | None, since: ComparedSetting | None
) -> ThreeSetting:
    told = now or since or then
    assert told is not None
    at_home = now or then
    at_last = since.before if since else then.after if then else None
    this = now or since
    return ThreeSetting(
        setting=told.setting,
        part=told.part,
        part_name=told.part_name,
        name=told.name,
        quantity=told.quantity,
        home=at_home.before if at_home else None,
        last=at_last,
        this=this.after if this else None,
        last_from_home=_against(then),
        this_from_home=_against(now),
        this_from_last=_against(since),
    )


def _against(found: ComparedSetting | None) -> Against | None:
    if found is None:
        return None
    return Against(
        verdict=found.verdict,
        difference=found.difference,
        u=found.u,
        converted=found.converted,
        why=found.why,
    )


def _pieces(then: Compared | None, now: Compared, since: Compared | None) -> tuple[ThreePiece, ...]:
    found = [
        {piece.id: piece for piece in answer.pieces} if answer else {}
        for answer in (then, now, since)
    ]
    keys: Iterable[str] = dict.fromkeys(
        key for held in (found[1], found[2], found[0]) for key in held
    )
    pieces = []
    for key in keys:
        three = [held.get(key) for held in found]
        told = next(piece for piece in (three[1], three[2], three[0]) if piece is not None)
        pieces.append(
            ThreePiece(
                id=key,
                name=told.name,
                role=told.role,
                last_from_home=three[0],
                this_from_home=three[1],
                this_from_last=three[2],
            )
        )
    return tuple(pieces)
