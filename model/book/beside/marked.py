"""A page that holds two versions between marks is made into two: the page, and one beside it."""

from __future__ import annotations

from pathlib import Path as FilePath

from model.book.beside.marks import two_sides
from model.book.read import parse_page
from model.disk.guard import hash_of, read_text
from model.disk.leftovers import keep, temp_name
from model.disk.save import save
from model.errors import CannotDo, Problem, UnreadableFile


def part(path: FilePath) -> FilePath:
    """Make two of a page with marks: the first side is the page, the other is kept beside it.

    Returns where the other is. Raises :class:`CannotDo` where the file has no two sides,
    :class:`UnreadableFile` where one of them is no page, and as saving does.
    """
    held = read_text(path)
    sides = two_sides(held.text)
    if sides is None:
        problem = Problem(
            code="no-sides",
            what="the marks in it are not in order",
            right="look at it in an editor: keep one of the lines between the marks",
            path=str(path),
        )
        raise CannotDo("it cannot be parted", (problem,))
    for text in sides:
        read = parse_page(text, str(path))
        if read.page is None:
            raise UnreadableFile(f"{path.name} cannot be parted", read.problems)
    other = sides[1]
    temp = path.with_name(temp_name(path.name, hash_of(other.encode()), None))
    save(temp, other, None)
    kept = keep(temp)
    save(path, sides[0], held.sha256)
    return kept
