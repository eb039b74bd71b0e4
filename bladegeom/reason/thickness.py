"""How thick the steel is at a place."""

from __future__ import annotations

from bladegeom.body.grind import Stage
from bladegeom.body.knife import Knife
from bladegeom.curves.curve import FloatArray


def thickness(knife: Knife, stage: Stage, x: FloatArray, y: FloatArray) -> FloatArray:
    """Thickness of the steel at places inside the outline, shape (n,), mm; holes are not looked at.

    0 where both sides would be ground through each other.
    """
    right = knife.side(stage, "right").height(x, y)
    if knife.grind.only is None:
        return 2 * right
    return right + knife.side(stage, "left").height(x, y)
