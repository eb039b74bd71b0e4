"""Short pieces at the end of a stretch: a cutting machine slows down on them, and our own preflight warns of them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from specimens import ground

from bladegeom.curves.arcs import SHORTEST, fit_arcs
from bladegeom.curves.build import arc, line
from bladegeom.curves.curve import join
from bladegeom.cutfile.cut import cut_drawing
from bladegeom.drawing.drawing import Path
from bladegeom.knife.cutting import Cutting
from bladegeom.outline.halves import BladeProfile, HandleProfile
from bladegeom.outline.outline import join_halves
from bladegeom.profiles import get
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


def test_a_mark_that_ends_just_beyond_a_corner_ends_at_it() -> None:
    """The blade of which the grind line's mark once ended in a line of 0.017 mm."""
    boning, waisted = get("boning")(), get("waisted")()
    assert isinstance(boning, BladeProfile)
    assert isinstance(waisted, HandleProfile)
    knife = ground(join_halves(boning, waisted), thickness=3.0, height=11.168, edge=0.4, plunge=10.5)
    knife = replace(knife, cutting=Cutting(marks=True))
    marks = [item for item in cut_drawing(knife).items if item.layer == "MARK" and isinstance(item, Path)]
    assert marks
    for mark in marks:
        ends = np.concatenate([mark.curve.pieces[:, 0], mark.curve.pieces[-1:, 3]])
        assert np.hypot(*np.diff(ends, axis=0).T).min() >= SHORTEST
