"""How high a blade is and how thick its spine, as a caliper on the finished steel reads them."""

from __future__ import annotations

import numpy as np

from bladegeom.grinding.thickness import thickness
from bladegeom.knife.knife import Knife
from bladegeom.quantities.tolerances import FINE_CHORD

_INSIDE = 1e-6
"""So far inside the steel the ends of the blade are looked at, mm."""


def blade_height(knife: Knife) -> float:
    """Edge to spine, square to the blade's length, where the blade is highest, mm."""
    edge, spine = knife.outline.edge_points[:, 0], knife.spine_points[:, 0]
    first, last = float(edge.min()), knife.outline.tip[0]
    x = np.unique(np.concatenate([edge, spine]).clip(first + _INSIDE, last - _INSIDE))
    upper, lower = knife.outline.tang_height(x)
    return float((upper - lower).max())


def height_at_heel(knife: Knife) -> float:
    """From the heel up to the spine, square to the blade's length, mm."""
    x, y = knife.outline.heel
    upper, _ = knife.outline.tang_height(np.array([x + _INSIDE]))
    return float(upper[0]) - y


def spine_thickness(knife: Knife, x: float) -> float:
    """Of the steel ground to size, at its upper border, mm."""
    at = np.array([x])
    upper, _ = knife.outline.tang_height(at)
    return float(thickness(knife, "finished", at, upper, chord=FINE_CHORD)[0])
