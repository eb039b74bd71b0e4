"""Round things square to the tang, under a face: holes in a layer, and the hardware that fills them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bladegeom.curves.curve import FloatArray, Vector
from bladegeom.knife.scale_face import LaidSheet, ScaleFace
from bladegeom.solids.moments import Moments, of_layers

_GAUSS = np.polynomial.legendre.leggauss(6)
_WAY, _WAY_WEIGHT = (_GAUSS[0] + 1) / 2, _GAUSS[1] / 2
"""Places between the two radii of a ring, as parts of the way, and their weights."""

_ROUND = np.radians(np.arange(0.0, 360.0, 360.0 / 24))

Slope = tuple[float, float]
"""Heights over the middle plane at a ring's inner and outer radius, mm; straight between them."""


@dataclass(frozen=True, kw_only=True)
class Ring:
    """What lies between two radii and two heights, one side of the tang.

    Args:
        inner: Radius, >= 0 mm.
        outer: Radius, mm.
        low: Lower bound; None is the layer's inside.
        high: Upper bound; None is the layer's outside, over which no ring reaches.
    """

    inner: float
    outer: float
    low: Slope | None
    high: Slope | None


def of_rings(rings: Sequence[Ring], centre: Vector, face: ScaleFace | LaidSheet) -> Moments:
    """Moments of the volume of rings round one axis, on the right side; the face is asked once for all of them.

    Exact where their bounds are planes; elsewhere by Gauss places along the radius and even ones round the centre.
    """
    inner, outer = np.array([(ring.inner, ring.outer) for ring in rings]).T[..., None]
    r = inner + (outer - inner) * _WAY
    weight = (outer - inner) * _WAY_WEIGHT * r * (2 * np.pi / len(_ROUND))
    x, y = centre[0] + r[..., None] * np.cos(_ROUND), centre[1] + r[..., None] * np.sin(_ROUND)
    top = face.height(x.ravel(), y.ravel()).reshape(x.shape)
    high = np.minimum(_bounds([ring.high for ring in rings], top), top)
    low = _bounds([ring.low for ring in rings], face.inside(x.ravel()).reshape(x.shape))
    high = np.maximum(high, low)
    layers = np.stack([high - low, (high**2 - low**2) / 2, (high**3 - low**3) / 3]) * weight[..., None]
    x, y = x.ravel(), y.ravel()
    return of_layers(np.asarray(layers.reshape(3, -1) @ np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=1)))


def _bounds(slopes: Sequence[Slope | None], layer: FloatArray) -> FloatArray:
    """Heights of bounds, each over the places of its ring; None is the layer's own height there."""
    out = layer.copy()
    for heights, slope in zip(out, slopes, strict=True):
        if slope is not None:
            heights[:] = (slope[0] + _WAY * (slope[1] - slope[0]))[:, None]
    return out
