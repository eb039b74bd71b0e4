"""What is dimensioned in a section through a fastener: each number from the geometry that it is the distance of."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bladegeom.drawing.dimension import Dimension
from bladegeom.sheets.stack_shapes import StackShapes

Rows = tuple[tuple[Dimension, ...], tuple[Dimension, ...]]
"""Those above the section, and those below it, the ones nearest to it first."""

_NONE = 1e-6
"""A shorter distance is not drawn, mm."""


def dimensions(shapes: StackShapes) -> Rows:
    """All dimensions of a section."""
    section = shapes.section
    return _drawn(section.above), _drawn((*section.below, *_layers(shapes)))


def _drawn(many: Sequence[Dimension]) -> tuple[Dimension, ...]:
    return tuple(dimension for dimension in many if abs(dimension.value) > _NONE)


def _layers(shapes: StackShapes) -> tuple[Dimension, ...]:
    """Tang, liners and slab, at the lower border of the drawing."""
    low, top = shapes.window[0], float(np.interp(0.0, shapes.across, shapes.surface))
    half, inside, slab = shapes.half_tang, shapes.inside, shapes.slab_top
    return (
        Dimension(name="tang", words="tang", low=-half, high=half, start=low),
        Dimension(name="liner", words="liners", low=half, high=inside, start=low),
        Dimension(name="slab", words="slab as drilled", low=inside, high=slab, start=low),
        Dimension(name="total", words="finished handle at the axis", low=-top, high=top, start=0.0),
    )
