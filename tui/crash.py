"""What is left of an unexpected end: a log in the state folder, and a line that says so."""

from __future__ import annotations

import traceback
from datetime import datetime
from pathlib import Path

from model.clean import clean, clean_lines
from tui.places import state_folder


def write_crash_log(error: BaseException, now: datetime, folder: Path | None = None) -> Path | None:
    """Write the error's traceback to a log; return where, or None where nothing can be written."""
    path = (folder or state_folder()) / f"crash-{now:%Y%m%d-%H%M%S}.log"
    text = "".join(traceback.format_exception(error))
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(clean_lines(text), "utf-8")
    except OSError:
        return None
    return path


def crash_words(error: BaseException, log: Path | None) -> str:
    """Say in a line or two what happened, that the readings are safe, and where the log is."""
    where = f"what happened is written in {log}" if log else "and no log could be written"
    return clean_lines(
        "Clampbook came to an unexpected end. Every reading that was said to be saved is on the "
        f"disk.\n{clean(type(error).__name__)}: {clean(str(error))[:200]}; {clean(where)}"
    )
