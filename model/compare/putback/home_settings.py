"""A home's settings as they stand on tonight's rig: set anew, or only known from there."""

from __future__ import annotations

from model.rig.setting import Setting


def set_tonight(setting: Setting) -> Setting:
    """Return a wanted setting as it is set tonight: measured anew, with the same instrument."""
    return Setting(
        state="read",
        value=setting.value,
        using=setting.using,
        u=setting.u,
        read_from=setting.read_from,
        limit=setting.limit,
    )


def carried_from(setting: Setting, page: str) -> Setting:
    """Return a home's setting as what is only known from there."""
    return Setting(
        state="carried",
        value=setting.value,
        page=setting.page or page,
        using=setting.using,
        u=setting.u,
        read_from=setting.read_from,
        limit=setting.limit,
    )


def has_value(setting: Setting) -> bool:
    """Tell whether a setting says where its joint is."""
    return setting.state in ("read", "seen", "carried") and setting.value is not None
