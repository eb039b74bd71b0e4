"""Words and numbers that several papers say of a grind alike."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bladegeom.grinding.lower_face import SAME
from bladegeom.knife.knife import Knife
from bladegeom.quantities.units import show_length, show_mm


def side_words(only: str | None) -> str:
    """Which side an angle is told of."""
    return "a side" if only is None else f"on the {only} side"


def scribe_words(right: float, left: float) -> str:
    """Where to scribe, told from the faces of the blank; a line in a face itself is none."""
    if right == left:
        return f"{show_length(right)} from each face"
    told = ((right, "right"), (left, "left"))
    return ", ".join(f"{show_length(mm)} from the {name} face" for mm, name in told if mm > SAME)


def tang_range(knife: Knife) -> tuple[float, float]:
    """Least and greatest thickness of the tapered stock behind the handle front, mm."""
    butt = knife.outline.bounds[0]
    x = np.array([butt, 0.0, *(x for x, _ in knife.stock.taper if butt < x < 0.0)])
    thick = 2 * knife.stock.half_thickness(x)
    return float(thick.min()), float(thick.max())


def taper_words(taper: Sequence[Sequence[float]], tang: Sequence[float]) -> str:
    """The stations of a taper, and the thickness of the tang."""
    stations = ", ".join(f"{show_length(thick)} at x {show_mm(x)}" for x, thick in taper)
    least, most = (show_length(mm) for mm in tang)
    return f"tapered: {stations}; the tang {least}" + (f" to {most}" if most != least else "")
