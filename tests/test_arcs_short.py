"""Short arcs at the end of a stretch: a cutting machine slows down on them, and our own preflight warns of them."""

from __future__ import annotations

import numpy as np
import pytest

from bladegeom.curves.arcs import SHORTEST, fit_arcs
from bladegeom.curves.build import arc, line
from bladegeom.curves.curve import join
from bladegeom.quantities.tolerances import ARC_FIT


@pytest.mark.parametrize("turned", [False, True])
def test_a_short_arc_beside_a_corner_becomes_part_of_its_neighbour(turned: bool) -> None:  # noqa: FBT001
    """As where a rim 1.5 mm round a handle meets a straight front 2 degrees off square: 1.5 x 2 degrees is 0.05 mm."""
    flat = arc((0.0, 114.0), 114.0, -93.4, 1.4)
    x, y = flat.end
    turn = np.radians(-2.0)
    small = arc((x - 1.5 * float(np.sin(turn)), y + 1.5 * float(np.cos(turn))), 1.5, -92.0, 2.0)
    front = line(small.end, (small.end[0], 20.0))
    whole = join(flat, small, front)
    chain = fit_arcs([whole.reversed() if turned else whole], ARC_FIT, closed=False)
    assert np.hypot(*np.diff(chain.vertices, axis=0).T).min() >= SHORTEST
    assert chain.deviation <= ARC_FIT
