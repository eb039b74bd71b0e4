"""Which saw blade cuts a bar: at least three teeth must bite at once, or they are torn out."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from bladegeom.quantities.units import MM_PER_INCH, show_length

TEETH_IN_WORK: Final = 3.0
"""Least number of teeth in the stock at once. Source: common practice, no source."""

PITCHES: Final = (10, 14, 18, 24, 32)
"""Teeth per inch of common metal saw blades, coarse to fine. Source: common practice, no source."""

_ROUNDED: Final = 1e-9
"""What rounding of a float may take off three teeth."""

_INCH: Final = float(MM_PER_INCH)


@dataclass(frozen=True, kw_only=True)
class Saw:
    """A saw blade in stock of a thickness.

    Args:
        teeth_per_inch: Of the blade.
        thickness: Of the stock, mm.
    """

    teeth_per_inch: float
    thickness: float

    @property
    def teeth(self) -> float:
        """That stand in the stock at once when it is sawn square."""
        return self.thickness * self.teeth_per_inch / _INCH

    @property
    def teeth_told(self) -> float:
        """To a tenth and never more than there are, so that what is told is three where three bite."""
        return math.floor(10 * (self.teeth + _ROUNDED)) / 10

    @property
    def bites(self) -> bool:
        """Whether enough of them do."""
        return self.teeth >= TEETH_IN_WORK - _ROUNDED

    @property
    def slant_deg(self) -> float:
        """Angle of the cut to the faces at which three teeth stand in the stock, degrees; 90 is square."""
        return 90.0 if self.bites else math.degrees(math.asin(self.teeth / TEETH_IN_WORK))

    @property
    def words(self) -> str:
        """The blade, and how many teeth bite."""
        blade = f"{self.teeth_per_inch:g} teeth per inch ({self.teeth_per_inch * 25 / _INCH:.1f} per 25 mm)"
        told = f"{blade}: {self.teeth_told:.1f} teeth bite {show_length(self.thickness)}"
        if self.bites:
            return f"{told}, three or more are needed"
        return (
            f"{told}, fewer than three: clamp it on a strip of wood and saw through both, "
            f"or slant the saw to {math.floor(self.slant_deg)} degrees or less from the face"
        )


def saw_for(thickness: float) -> Saw:
    """The coarsest common blade of which three teeth bite; the finest where none does.

    Args:
        thickness: Of the stock, > 0 mm.
    """
    saws = (Saw(teeth_per_inch=pitch, thickness=thickness) for pitch in PITCHES)
    return next((saw for saw in saws if saw.bites), Saw(teeth_per_inch=PITCHES[-1], thickness=thickness))
