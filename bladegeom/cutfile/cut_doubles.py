"""Lines of a cut file that lie on each other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import FloatArray
from bladegeom.curves.segment_pairs import Pairs, boxes_of, near_pairs, overlaps
from bladegeom.curves.segments import Ints
from bladegeom.cutfile.cut_loops import JOIN, MOST_PAIRS
from bladegeom.importers.cut_plan import CutPlan
from bladegeom.quantities.tolerances import SHOP

TINY = 0.1
"""A line or an arc shorter than that slows a machine down, mm; common practice, no source."""

_DOUBLE = 0.05
"""Lines that run along each other for less are not told, mm; own choice."""

_WHOLE = 0.98
"""A thing is a copy if this share of it lies on others; the rest is left to rounding."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Doubles:
    """Lines that lie on each other.

    Args:
        pairs: All pairs of lines that come near each other; None where they are too many to look at.
        along: How far each pair runs together, mm.
        copies: Chains that lie on others wholly: what follows looks at the others only.
    """

    pairs: Pairs | None
    along: FloatArray
    copies: frozenset[int]


def find_doubles(plan: CutPlan) -> Doubles:
    """Lines that lie on each other, whichever way they run."""
    segments, owner = plan.segments, plan.owner
    way = np.concatenate([[0.0], np.cumsum(segments.length)])

    def apart(i: Ints, j: Ints) -> npt.NDArray[np.bool_]:
        # What stands within a tiny stretch of one chain is near itself whatever it does.
        return np.asarray((owner[i] != owner[j]) | (way[j + 1] - way[i] > TINY))

    pairs = near_pairs(boxes_of(segments), reach=SHOP, most=MOST_PAIRS, counts=apart)
    if pairs is None:
        return Doubles(pairs=None, along=np.empty(0), copies=frozenset())
    along = overlaps(segments, pairs, SHOP)
    along = np.where(along > np.minimum(_DOUBLE, 0.5 * segments.length[pairs[0]]), along, 0.0)
    first, second = owner[pairs[0]], owner[pairs[1]]
    length = np.bincount(owner, segments.length, len(plan.chains))
    # A speck is told as one and as nothing else.
    along = np.where((length[first] <= JOIN) | (length[second] <= JOIN), 0.0, along)
    other = first != second
    before = np.bincount(second[other], along[other], len(plan.chains))
    copies = {int(i) for i in np.flatnonzero((before >= _WHOLE * length) & (length > 0))}
    kept = other & ~np.isin(second, list(copies))
    after = np.bincount(first[kept], along[kept], len(plan.chains))
    copies |= {int(i) for i in np.flatnonzero((after >= _WHOLE * length) & (length > 0))}
    return Doubles(pairs=pairs, along=along, copies=frozenset(copies))
