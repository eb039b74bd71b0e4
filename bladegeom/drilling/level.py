"""How a tapered tang's slabs lie on the drill press table, so that bores come out square to the tang's middle plane."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bladegeom.fasteners.alike import to_compare
from bladegeom.knife.knife import Knife
from bladegeom.quantities.units import show_length, show_mm


@dataclass(frozen=True, kw_only=True)
class Level:
    """The tilt of a scale's inside face against the tang's middle plane, from the butt to the handle front.

    Args:
        lift: How much farther from the middle plane the inside face lies at the thick end, mm; 0 on an even tang.
        length: From end to end, mm.
        thin: Where the tang is thin, in words.
        thick: Where it is thick.
    """

    lift: float
    length: float
    thin: str
    thick: str

    @property
    def on_the_tang(self) -> str:
        """What to shim where the slab lies under the tang, its outside down; "" where nothing is to be done."""
        if to_compare(self.lift) == 0:
            return ""
        return (
            f" Tapered tang: shim the slab at the {self.thin} by {show_length(self.lift)}, so that the middle plane "
            "lies level."
        )

    def loose(self, diameter: float, *, inside_up: bool, allowed: float) -> str:
        """How the loose scale lies for a bore: flat, where that tilts the floor by no more than a depth may stray.

        With the inside up, the thin end lies low under the middle plane, as under the tang; with the outside up, the
        thick end does.

        Args:
            diameter: Of the bore, mm.
            inside_up: Whether it is sunk from the inside.
            allowed: By which a depth may stray, mm.
        """
        tilt = diameter * self.lift / self.length
        if to_compare(self.lift) == 0:
            return ""
        if tilt <= allowed:
            down = "outside" if inside_up else "inside"
            return (
                f" Tapered tang: lay the {down} face flat on the table; the floor then leans {show_mm(tilt)} mm "
                "across its width, no more than the depth may stray."
            )
        end = self.thin if inside_up else self.thick
        leans = f"the floor leans {show_mm(tilt)} mm"
        return f" Tapered tang: shim the scale at the {end} by {show_length(self.lift)}, or {leans}."


def level(knife: Knife) -> Level:
    """For a knife's tang; its thickness counts at the butt and at the middle of the handle front."""
    ends = np.array([knife.outline.bounds[0], knife.handle_front_middle[0]])
    butt, front = knife.stock.half_thickness(ends).tolist()
    thin, thick = ("butt", "handle front") if butt < front else ("handle front", "butt")
    return Level(lift=abs(front - butt), length=float(ends[1] - ends[0]), thin=thin, thick=thick)
