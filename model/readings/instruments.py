"""Instruments and how sure a reading is: standard uncertainties, in the reading's own measure."""

from __future__ import annotations

from pydantic import Field

from model.frozen import Extra, Frozen, Id, Spread
from model.readings.angles import ReadFrom
from model.readings.quantity import Quantity


class Instrument(Frozen):
    """What a reading was taken with, as it was held on that night.

    ``u_*`` is the standard uncertainty of one reading, in mm, degrees or teeth; ``same_*`` that of
    the same instrument put on the same mark again. A stated ± bound b is a rectangular
    distribution: u = b/√3 (JCGM 100:2008, 4.3.7). ``guess`` says that the figures are from memory.
    """

    id: Id
    u_mm: Spread | None = None
    u_deg: Spread | None = None
    u_teeth: Spread | None = None
    same_mm: Spread | None = None
    same_deg: Spread | None = None
    read_from: ReadFrom | None = Field(default=None, alias="from")
    guess: bool = False
    extra: Extra = ()

    def uncertainty(self, quantity: Quantity) -> float | None:
        """Return u of one reading of ``quantity``, or None where the instrument states none."""
        by_quantity = {"length": self.u_mm, "angle": self.u_deg, "teeth": self.u_teeth}
        return by_quantity.get(quantity)

    def repeatability(self, quantity: Quantity) -> float | None:
        """Return u of the same mark measured again; where none is stated, u of one reading."""
        same = {"length": self.same_mm, "angle": self.same_deg}.get(quantity)
        return self.uncertainty(quantity) if same is None else same


GENERIC_INSTRUMENTS: tuple[Instrument, ...] = (
    # From memory, all of them (a tape's ±3 mm as a bound is u = 1.7): editable in book.toml.
    Instrument(id="eye", u_mm=10.0, u_deg=5.0, guess=True),
    Instrument(id="level", u_deg=0.5, same_deg=0.3, read_from="gravity", guess=True),
    Instrument(id="protractor", u_deg=1.0, read_from="joint", guess=True),
    Instrument(id="seen", u_mm=1.0, u_deg=0.5, u_teeth=0.0, guess=True),
    Instrument(id="tape", u_mm=1.7, same_mm=1.0, guess=True),
    Instrument(id="teeth", u_teeth=0.0),
)
"""The instruments of a new book; ``seen`` is not one: it says how sure a look at a mark is."""

SEEN = "seen"
USUAL: dict[Quantity, str] = {"length": "tape", "angle": "level", "teeth": "teeth"}
"""What a quantity is usually read with, where the kind does not say."""
