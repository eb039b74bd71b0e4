"""Lines of a cut file that are too short to be chained: what they close is no gap."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from bladegeom.curves.curve import FloatArray, Vector
from bladegeom.cutfile.cut_loops import JOIN, Gap, one_place
from bladegeom.importers.cut_plan import CutPlan

_DIGITS = 5
"""Ends that read alike to so many digits of a mm are one place; own choice: exports write six."""


def specks(plan: CutPlan) -> frozenset[int]:
    """Indices of the chains whose two ends would be one place."""
    return frozenset(i for i, chain in enumerate(plan.chains) if chain.segments.length.sum() <= JOIN)


def unbridged(plan: CutPlan, gaps: Iterable[Gap]) -> tuple[Gap, ...]:
    """Those gaps which no specks of the file lead over from end to end."""
    short = [plan.chains[i].segments for i in sorted(specks(plan))]
    ends = [(_read(segments.start[0]), _read(segments.end[-1])) for segments in short]
    places = {place: i for i, place in enumerate(dict.fromkeys(place for pair in ends for place in pair))}
    label = one_place(len(places), ((places[a], places[b]) for a, b in ends))
    led = {place: label[i] for place, i in places.items()}
    return tuple(gap for gap in gaps if led.get(_read(gap.first), -1) != led.get(_read(gap.second), -2))


def _read(place: FloatArray | Vector) -> Vector:
    x, y = np.round(place, _DIGITS).tolist()
    return x + 0.0, y + 0.0
