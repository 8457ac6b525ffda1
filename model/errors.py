"""What is wrong, where, why, and what would be right: one shape for every fault."""

from __future__ import annotations

from dataclasses import dataclass, replace

from model.clean import clean

MOST_TOLD = 200
"""How many problems one error tells in words; all of them are in its ``problems``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One fault of a file or an entry.

    ``code`` is a stable word for programs. ``grave`` faults refuse the whole file; the others are
    flags, and the file opens with them. ``line`` is set only where it is known.
    """

    code: str
    what: str
    why: str = ""
    right: str = ""
    path: str | None = None
    key: str | None = None
    line: int | None = None
    grave: bool = True

    def at(self, *, path: str | None = None, line: int | None = None) -> Problem:
        """Return the problem with its place filled in where it is still missing."""
        return replace(self, path=self.path or path, line=self.line or line)

    def place(self) -> str:
        """Say where it is: ``file:line: key``, with what is known of it, fit for a terminal."""
        where = clean(self.path) if self.path else ""
        if self.line is not None:
            where = f"{where}:{self.line}" if where else f"line {self.line}"
        if self.key:
            where = f"{where}: {clean(self.key)}" if where else clean(self.key)
        return where

    def text(self) -> str:
        """Say it whole, over one to four lines, fit for a terminal."""
        mark = "refused" if self.grave else "flagged"
        place = self.place()
        lines = [f"{mark}: {place}: {clean(self.what)}" if place else f"{mark}: {clean(self.what)}"]
        if self.why:
            lines.append(f"  why: {clean(self.why)}")
        if self.right:
            lines.append(f"  right: {clean(self.right)}")
        return "\n".join(lines)


class ClampbookError(Exception):
    """The one base error: a title and all the problems that were found."""

    def __init__(self, title: str, problems: tuple[Problem, ...] = ()) -> None:
        super().__init__(title)
        self.title = title
        self.problems = problems

    @property
    def first(self) -> Problem | None:
        """The first of the problems, for a place that tells one; None where only a title is."""
        return self.problems[0] if self.problems else None

    def in_a_line(self) -> str:
        """Say the first problem, or the title, where a screen has one line for it."""
        first = self.first
        return f"refused: {first.what}; right: {first.right}" if first else self.title

    def text(self) -> str:
        """Say the title and the problems, fit for a terminal; of a thousand the first."""
        told = [problem.text() for problem in self.problems[:MOST_TOLD]]
        if more := len(self.problems) - len(told):
            told.append(f"and {more} more of its kind: mend these, then look again")
        return "\n".join([clean(self.title), *told])

    def __str__(self) -> str:
        return self.text()


class UnreadableFile(ClampbookError):  # noqa: N818 - the name says what is the matter with the file
    """A file that cannot be read; it is left as it is."""


class NotSaved(ClampbookError):  # noqa: N818
    """Nothing was written; the old file is whole."""


class NotConfirmed(ClampbookError):  # noqa: N818
    """The new file is in place, but the disk did not confirm it."""


class CannotDo(ClampbookError):  # noqa: N818
    """What was asked cannot be done as it was asked."""
