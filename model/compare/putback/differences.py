"""What of two pages of one rig can be held against each other, joint by joint."""

from __future__ import annotations

from dataclasses import replace

from model.compare.joints import JointDifference, joint_differences
from model.compare.putback.asked import Asked
from model.compare.putback.home_settings import has_value
from model.compare.settings import compare_setting
from model.rig.declared import AnyPart
from model.rig.page import Page
from model.rig.setting import OPEN
from model.space.as_read import is_along, joint_settings
from model.space.places import Places

AS_READ = "as it was read"
"""Why a difference has no joint's own values: it could not be worked out."""


def differences_of(
    asked: Asked, places: tuple[Places, Places], names: tuple[str, str]
) -> dict[str, JointDifference]:
    """Return the joints' differences; what cannot be worked out is compared as it was read.

    Home may know what a level is to show where it does not know the joint: something that the
    joint hangs on is open there.
    """
    found = joint_differences(places, names, wanted=True)
    for key, held in found.items():
        one, two = asked.wanted.setting(key), asked.now.setting(key)
        is_unworked = held.verdict == "not comparable" and None in (held.before, held.after)
        if is_unworked and has_value(one) and two.measured_tonight:
            read = compare_setting(key, held.declared, asked.wanted, asked.now, wanted=True)
            if isinstance(read.difference, int | float):
                found[key] = replace(
                    held, verdict=read.verdict, difference=read.difference, u=read.u, why=AS_READ
                )
    return found


def without_other_frames(now: Page, wanted: Page) -> Page:
    """Return tonight's page without the places that could be put into their own values on one of
    the pages alone: the same number would mean another place."""
    apart = {
        part.id
        for part in now.parts
        if part.id in wanted.by_id
        and frame_of_place(part, now) != frame_of_place(wanted.by_id[part.id], wanted)
    }
    unknown = {
        key: OPEN
        for key in joint_settings(now)
        if now.declared[key].owner in apart and is_along(now, key)
    }
    return now.with_settings(unknown) if unknown else now


def frame_of_place(part: AnyPart, page: Page) -> tuple[str, str]:
    """Return from where and to which edge a part's place along its tube is measured on a page."""
    kind = page.by_kind.get(part.kind or "")
    slides = next((j for j in kind.joints if j.slides == "rail"), None) if kind else None
    return (part.measured_from or (slides and slides.end) or "A", part.edge or "centre")
