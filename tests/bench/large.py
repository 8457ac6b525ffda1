"""Large books for measuring: a page of 600 settings, and seasons of many nights."""

from __future__ import annotations

import re
from datetime import date, timedelta
from pathlib import Path

from model.book.page_file import open_page
from model.book.write import write_page
from model.rig.page import Page, Remarks
from model.rig.part import FLOOR
from model.rig.setting import Setting


def page_of(source: Path, settings: int) -> Page:
    """Return a page that declares at least so many settings: the source's parts, several times."""
    page = open_page(source).page
    copies = 1
    while len(page.declared) * copies < settings:
        copies += 1
    parts = list(page.parts)
    record = dict(page.record)
    for copy in range(2, copies + 1):

        def named(part_id: str, copy: int = copy) -> str:
            return part_id if part_id == FLOOR else f"{part_id}-{copy}"

        for part in page.parts:
            on = tuple(named(on) for on in part.on)
            changes = {"id": named(part.id), "name": f"{part.name} {copy}", "on": on}
            parts.append(part.model_copy(update=changes))
        for key, setting in page.record:
            owner, rest = key.split(".", 1)
            if owner in page.by_id:
                record[f"{named(owner)}.{rest}"] = setting
    fields = {name: getattr(page, name) for name in Page.model_fields}
    empty = tuple((owner.id, Remarks()) for owner in (*parts, *page.spots))
    whole = Page(**{**fields, "parts": tuple(parts), "record": (), "remarks": empty})
    ordered = tuple((key, record.get(key, Setting(state="open"))) for key in whole.declared)
    return Page(**{**fields, "parts": tuple(parts), "record": ordered, "remarks": empty})


def book_of_600(source: Path, folder: Path) -> Path:
    """Write a book with one page of 600 settings; return the page's path."""
    folder.mkdir()
    (folder / "book.toml").write_text('title = "Six hundred settings"\n')
    path = folder / source.name
    path.write_text(write_page(page_of(source, 600)), "utf-8")
    return path


def book_of_nights(source: Path, folder: Path, nights: int) -> Path:
    """Write a book of so many nights, a page each; return its folder."""
    folder.mkdir()
    (folder / "book.toml").write_text(f'title = "{nights} nights"\n')
    text = source.read_text("utf-8")
    for night in range(nights):
        day = date(2020, 1, 1) + timedelta(days=night)
        page = re.sub(r"(?m)^date = .*$", f"date = {day}", text, count=1)
        page = re.sub(r"(?m)^began = .*$", f"began = {day}T18:00:00+01:00", page, count=1)
        (folder / f"{day}-soundcheck.toml").write_text(page, "utf-8")
    return folder
