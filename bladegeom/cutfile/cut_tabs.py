"""An outline with gaps in it, where tabs hold the part in its sheet."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np

from bladegeom.curves.curve import Curve, Vector, join, points
from bladegeom.curves.meet import nearest
from bladegeom.curves.part import part
from bladegeom.quantities.errors import PlacingError
from bladegeom.quantities.units import show_place

_HALVINGS = 60

_BENT = 0.02
"""A tab's stretch of outline may be longer than its gap by this part of it; own choice: else it lies on a corner."""


_OFF_KNOTS = 0.2
"""A gap's ends keep so far from where pieces of the outline meet, mm: less would leave a sliver."""

_SLIDES = (0.0, 0.25, -0.25, 0.5, -0.5, 0.75, -0.75, 1.0, -1.0)
"""By so much a tab is slid along the outline, mm, until they do."""


def between_tabs(loop: Curve, places: Sequence[Vector], width: float) -> tuple[Curve, ...]:
    """The parts of a closed curve between gaps round some places.

    Args:
        loop: Closed.
        places: Near the curve, each far from the others, mm; at least one. A tab may stand up to 1 mm beside its place.
        width: Straight from one end of a gap to the other, mm.

    Raises:
        PlacingError: A place lies on a corner of the curve.
    """
    at = np.sort(nearest(loop, np.array(places)).t).tolist()
    # Three rounds, so that no gap lies across the ends.
    rounds, n = join(loop, loop, loop), float(len(loop))
    gaps = [_clear_gap(rounds, t + n, width) for t in at]
    gaps.append((gaps[0][0] + n, gaps[0][1] + n))
    return tuple(part(rounds, begin, end) for (_, begin), (end, _) in itertools.pairwise(gaps))


def _clear_gap(rounds: Curve, t: float, width: float) -> tuple[float, float]:
    """The gap nearest to a place whose ends keep off the knots; at the place itself where there is none."""
    own = _gap(rounds, t, width)
    if own is None:
        x, y = points(rounds, t)[0].tolist()
        raise PlacingError(f"tab at {show_place(x, y)}: it lies on a corner; move it to a straight stretch")
    for slide in _SLIDES:
        gap = _gap(rounds, _reached(rounds, t, math.copysign(1.0, slide), abs(slide)), width)
        if gap is not None and _off_knots(rounds, gap) >= _OFF_KNOTS:
            return gap
    return own


def _off_knots(rounds: Curve, gap: tuple[float, float]) -> float:
    ends = points(rounds, np.array(gap))
    return float(np.hypot(*(ends[:, None] - rounds.pieces[:, 0]).T).min())


def _gap(rounds: Curve, t: float, width: float) -> tuple[float, float] | None:
    """Places of a gap's two ends: half the width before the middle, and then the whole width on; None on a corner."""
    before = _reached(rounds, t, -1.0, width / 2)
    after = _reached(rounds, before, 1.0, width)
    along = points(rounds, np.linspace(before, after, 65))
    way = float(np.hypot(*np.diff(along, axis=0).T).sum())
    return (before, after) if way <= (1 + _BENT) * width else None


def _reached(curve: Curve, t: float, way: float, distance: float) -> float:
    """The first place on from another that lies a distance from it as the crow flies."""
    start = _at(curve, t)
    step = 1 / 64
    if not distance:
        return t
    far = t
    while math.dist(_at(curve, far), start) < distance:
        far += way * step
    near = far - way * step
    for _ in range(_HALVINGS):
        middle = (near + far) / 2
        if math.dist(_at(curve, middle), start) < distance:
            near = middle
        else:
            far = middle
    return far


def _at(curve: Curve, t: float) -> Vector:
    x, y = points(curve, t)[0].tolist()
    return x, y
