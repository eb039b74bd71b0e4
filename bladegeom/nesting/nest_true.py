"""Whether a nest keeps its distances: measured on the outlines themselves, with nothing of what placed them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np
import shapely

from bladegeom.curves.bounding_box import bounding_box
from bladegeom.nesting.nest_place import NestPlace
from bladegeom.nesting.nest_stock import StockPiece, is_straight, polygon_of
from bladegeom.quantities.units import show_length

TRUE: Final = 1e-5
"""Spacing and margin may be missed by this, mm: what floating point costs, and far less than a shop can measure."""

_CHORD = 0.001
"""How true the outlines are that are measured, mm; twice that is taken off each distance between curves."""


def broken_distances(places: Sequence[NestPlace], stock: StockPiece, spacing: float, margin: float) -> Iterator[str]:
    """What a filled piece of stock does not keep, in words; nothing where all is well."""
    for number, place in enumerate(places, start=1):
        x0, y0, x1, y1 = bounding_box(place.loop.pieces)
        least = min(x0, y0, stock.length - x1, stock.width - y1)
        if least < margin - TRUE:
            yield f"blank {number} lies {show_length(least)} from the border of the stock, not {show_length(margin)}"
    parts = np.array([polygon_of(place.loop, _CHORD) for place in places])
    off = np.array([0.0 if is_straight(place.loop) else _CHORD for place in places])
    shapely.prepare(parts)
    # What touches may not overlap by more than the tolerance: so thin a rim is taken off before they are tested.
    cores = shapely.buffer(parts, -TRUE, join_style="mitre")
    for i, j in shapely.STRtree(parts).query(parts, predicate="dwithin", distance=spacing + 2 * _CHORD).T.tolist():
        if i >= j:
            continue
        apart = float(shapely.distance(parts[i], parts[j])) - off[i] - off[j]
        if shapely.intersects(cores[i], cores[j]) or (spacing > 0 and apart < spacing - TRUE):
            yield f"blanks {i + 1} and {j + 1} lie {show_length(apart)} apart, not {show_length(spacing)}"
