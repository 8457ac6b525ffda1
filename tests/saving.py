"""A process that saves one reading after another and says so: ``python -m tests.saving PAGE``.

It prints a number only when the page with that number is on the disk; it is killed while it works.
"""

from __future__ import annotations

import sys
from itertools import count
from pathlib import Path

from model.book.edits import SettingEdit
from model.book.page_file import open_page, record
from model.rig.setting import taken

KEY = "clamp-l.height"


def main(path: Path) -> None:
    """Save readings for ever."""
    file = open_page(path)
    for number in count(1):
        setting = taken(file.page.setting(KEY), float(number), using="tape", by="AK")
        file = record(file, SettingEdit(KEY, setting))
        print(number, flush=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
