"""What is said where a save is not done, or done and not confirmed: what, where, and what next."""

from __future__ import annotations

from pathlib import Path as FilePath

from model.errors import NotConfirmed, NotSaved, Problem

CHANGED = "changed-underneath"
"""The code of the problem that a file is not the one that was read."""
REFUSED = "disk-refused"
"""The code of the problem that the disk takes nothing."""
GONE = "gone"
"""The code of the problem that the file is not there any more, or its whole folder."""


def not_saved(path: FilePath, what: str, right: str, code: str = "not-saved") -> NotSaved:
    """Return that nothing was written, and why."""
    problem = Problem(code=code, what=what, right=right, path=str(path))
    return NotSaved("not saved; the old file is whole", (problem,))


def refused(path: FilePath, error: OSError) -> NotSaved:
    """Return that the disk takes nothing, in the system's words."""
    what = (error.strerror or str(error)).lower()
    return not_saved(path, what, "free the disk or choose a folder that takes files", REFUSED)


def not_read_again(path: FilePath) -> NotSaved:
    """Return that the old file has its name, and that the disk did not give back what it holds."""
    what = "what the file holds could not be read again"
    return not_saved(path, what, "look at the disk, then record the last reading again", REFUSED)


def being_written(path: FilePath) -> NotSaved:
    """Return that someone else has the file open and may still write to it."""
    what = "someone else has the file open and is writing to it"
    return not_saved(path, what, "wait until it is closed there, then record again", REFUSED)


def there_already(path: FilePath) -> NotSaved:
    """Return that a new file's name is taken."""
    return not_saved(path, "a file of that name is there already", "another moment or date")


def gone(path: FilePath) -> NotSaved:
    """Return that the file which was read is not there any more."""
    return not_saved(path, "the file is gone", "put it back, or begin a new page", GONE)


def changed(path: FilePath) -> NotSaved:
    """Return that the file is not the one that was read."""
    what = "someone else changed the file since it was read"
    return not_saved(path, what, "open it again, then record", CHANGED)


def not_confirmed(
    path: FilePath, error: OSError | None = None, *, is_new: bool = False
) -> NotConfirmed:
    """Return that the new file is in place, and that the disk did not say that it stays.

    Without an error the disk did not let the old file be looked at, or be given its name back.
    """
    kept = "what was there could not be looked at any more; it is kept beside the page"
    problem = Problem(
        code="not-confirmed",
        what="written, but the disk did not confirm it",
        why=(error.strerror or str(error)).lower() if error else kept,
        right="look at the disk, then whether the file is there"
        if is_new
        else "look at the disk, then record the last reading again",
        path=str(path),
    )
    return NotConfirmed("written, but not confirmed", (problem,))
