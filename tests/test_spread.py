"""Words in a row, dimensions, and places told from the drill card's corner."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
import specimens
from draws import draws
from hypothesis import given
from hypothesis import strategies as st

from bladegeom.drawing.dimension_line import level_dimension, upright_dimension
from bladegeom.drawing.drawing import Path
from bladegeom.drawing.spread import spread_row
from bladegeom.drilling.datum import datum

LOW, HIGH, GAP = 10.0, 200.0, 1.4

WORDS = st.lists(st.tuples(st.floats(LOW, HIGH), st.floats(0.5, 12.0)), min_size=1, max_size=14).map(sorted)


@draws(100)
@given(row=WORDS)
def test_words_keep_apart_and_within_their_stretch(row: list[tuple[float, float]]) -> None:
    middles = spread_row(row, LOW, HIGH, gap=GAP)
    ends = [(at - width / 2, at + width / 2) for at, (_, width) in zip(middles, row, strict=True)]
    assert ends[0][0] >= LOW - 1e-9
    assert ends[-1][1] <= HIGH + 1e-9
    for (_, right), (left, _) in itertools.pairwise(ends):
        assert left - right >= GAP - 1e-9


@draws(50)
@given(row=WORDS)
def test_words_that_are_apart_stay_where_they_are(row: list[tuple[float, float]]) -> None:
    settled = [(at, width) for at, (_, width) in zip(spread_row(row, LOW, HIGH, gap=GAP), row, strict=True)]
    assert spread_row(settled, LOW, HIGH, gap=GAP) == pytest.approx([at for at, _ in settled])


def test_more_words_than_a_stretch_holds_still_keep_apart() -> None:
    middles = spread_row([(50.0, 10.0)] * 30, LOW, HIGH, gap=GAP)
    assert np.diff(middles).min() >= 10.0 + GAP - 1e-9


@pytest.mark.parametrize("upright", [False, True])
def test_the_heads_of_a_dimension_point_at_its_ends(upright: bool) -> None:  # noqa: FBT001
    items = list(
        upright_dimension((3.0, 2.0), (5.0, 30.0), 40.0) if upright else level_dimension((2.0, 3.0), (30.0, 5.0), -8.0)
    )
    axis = 1 if upright else 0
    whole, *heads = (item.curve for item in items if isinstance(item, Path) and (item.filled or item is items[0]))
    assert sorted((whole.start[axis], whole.end[axis])) == [2.0, 30.0]
    assert sorted(head.start[axis] for head in heads) == [2.0, 30.0]
    leading = [item.curve for item in items if isinstance(item, Path) and not item.filled and item is not items[0]]
    assert [curve.start[axis] for curve in leading] == [2.0, 30.0]


@draws(20)
@given(along=st.floats(-50.0, 300.0), off=st.floats(-20.0, 60.0), blade=st.sampled_from(specimens.BLADES))
def test_a_place_told_from_the_corner_is_found_again(along: float, off: float, blade: str) -> None:
    corner = datum(specimens.profile(blade, "swelled"))
    assert corner.measure(*corner.place(along, off)) == pytest.approx((along, off), abs=1e-9)
