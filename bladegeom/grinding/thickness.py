"""How thick the steel is at a place."""

from __future__ import annotations

from bladegeom.curves.curve import FloatArray
from bladegeom.knife.grind import Stage
from bladegeom.knife.knife import Knife


def thickness(knife: Knife, stage: Stage, x: FloatArray, y: FloatArray, *, chord: float | None = None) -> FloatArray:
    """Thickness of the steel at places inside the outline, shape (n,), mm; holes are not looked at.

    0 where both sides would be ground through each other.

    Args:
        knife: The design.
        stage: Ground up to which.
        x: Of the places, shape (n,), mm.
        y: Of the places, shape (n,), mm.
        chord: Greatest distance of the edge's chords from its curve, mm; None takes the outline's own chords.
    """
    right = knife.side(stage, "right", chord=chord).height(x, y)
    if knife.grind.only is None:
        return 2 * right
    return right + knife.side(stage, "left", chord=chord).height(x, y)
