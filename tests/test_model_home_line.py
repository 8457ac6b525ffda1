"""One more home in book.toml, in whatever shape its homes are written: nothing else changes."""

from __future__ import annotations

import pytest

from model.book.book import parse_book
from model.book.home_line import with_home
from model.errors import CannotDo

TITLE = 'title = "T"\n'
RIDE = "[tolerance.ride]\nmm = 1.0\n"
BOOKS: dict[str, str] = {
    "spaced": f'{TITLE}\n[homes]\n\n# the band\'s\nmain = "a"  # ours\n\n"x y" = "b"\n\n{RIDE}',
    "close": f'{TITLE}[homes]\nmain = "a"\nother = "b"\n{RIDE}',
    "one": f'{TITLE}\n[homes]\n\nmain = "a"\n',
    "empty table": f"{TITLE}\n[homes]\n\n{RIDE}",
    "empty table last, no end": f"{TITLE}[homes]",
    "a comment under it": f'{TITLE}[homes]  # go here\n# main is the band\'s\nmain = "a"\n',
    "in braces": f'{TITLE}homes = {{ main = "a", "x }} y" = "b" }}  # both\n\n{RIDE}',
    "in tight braces": f'{TITLE}homes={{main="a"}}\n',
    "in empty braces": f"homes = {{}}\n{TITLE}",
    "in spaced empty braces": f"homes = {{ }}\n{TITLE}",
    "dotted": f'# about\n\n# homes\nhomes.main = "a"\n\nhomes."x y" = "b"\n{TITLE}',
    "dotted and close, no end": f'{TITLE}homes.main = "a"\nhomes.other = "b"',
    "none": f"{TITLE}\n{RIDE}",
    "none, no end": TITLE.rstrip(),
    "quoted header": f'{TITLE}[ "homes" ]\nmain = "a"\n',
}
SHAPES = {
    **BOOKS,
    **{f"{name}, carriage returns": text.replace("\n", "\r\n") for name, text in BOOKS.items()},
    **{f"{name}, byte order mark": "\ufeff" + text for name, text in BOOKS.items()},
}


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize("first", [True, False])
def test_a_home_is_put_into_a_book_of_any_shape(name: str, first: bool) -> None:
    text = SHAPES[name]
    old, _ = parse_book(text, "book.toml")
    assert old is not None, name
    for home, comment in (("new one", "why # not"), ("plain", ""), ('q"uo\\te', "")):
        after = with_home(text, home, "2026-03-22-soundcheck", first=first, comment=comment)
        new, _ = parse_book(after, "book.toml")
        added = (home, "2026-03-22-soundcheck")
        homes = (added, *old.homes) if first else (*old.homes, added)
        assert new == old.model_copy(update={"homes": homes}), after
        kept = iter(after)
        assert all(char in kept for char in text.rstrip()), "something of the old text is gone"
        assert ("\r\n" in text) == ("\r\n" in after)
        assert after.replace("\r\n", "").count("\r") == 0
        lines = text.split("\n")
        gone = [line for line in lines if line not in after.split("\n")]
        assert len(gone) <= (1 if "braces" in name or "no end" in name else 0)
        assert ("# why # not" in after) == (bool(comment) and "braces" not in name)


def test_where_the_line_stands() -> None:
    for name, before in {
        "spaced": '[homes]\n\nn = "p"\n\n# the band\'s\nmain',
        "close": '[homes]\nn = "p"\nmain',
        "a comment under it": '[homes]  # go here\nn = "p"\n# main is the band\'s\nmain',
        "in braces": 'homes = { n = "p", main = "a", "x } y" = "b" }  # both\n',
        "dotted": 'homes.n = "p"\n\n# homes\nhomes.main',
        "none": 'mm = 1.0\n\n[homes]\n\nn = "p"\n',
    }.items():
        assert before in with_home(BOOKS[name], "n", "p", first=True), name
    for name, before in {
        "spaced": '"x y" = "b"\n\nn = "p"\n\n[tolerance',
        "close": 'other = "b"\nn = "p"\n[tolerance',
        "in tight braces": 'homes={main="a", n = "p" }\n',
        "dotted": 'homes."x y" = "b"\n\nhomes.n = "p"\ntitle',
    }.items():
        assert before in with_home(BOOKS[name], "n", "p", first=False), name


def test_a_line_too_long_is_refused() -> None:
    with pytest.raises(CannotDo, match="a shorter reason"):
        with_home(BOOKS["one"], "n", "p", first=True, comment="x" * 5000)
