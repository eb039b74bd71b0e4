"""Curvature, lengths and turns along a chain: all pieces at once as each by itself, to the last bit."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import curves, wild_pieces

from bladegeom.curves.build import line
from bladegeom.curves.curvature import ChainJoint, course, courses, joints, turns_deg
from bladegeom.curves.curve import Curve, curvature, points
from bladegeom.curves.measure import curve_length, piece_lengths


def one_by_one(chain: Curve) -> tuple[ChainJoint, ...]:
    """Each joint from two curves of one piece each."""
    found = []
    for i, (a, b) in enumerate(itertools.pairwise(Curve(piece[None]) for piece in chain.pieces), start=1):
        (dx, dy), (ex, ey) = a.end_direction, b.start_direction
        turn = math.degrees(math.atan2(dx * ey - dy * ex, dx * ex + dy * ey))
        before, after = (float(curvature(chain, t)[0]) for t in (i - 1e-9, i + 1e-9))
        found.append(ChainJoint(a.end, turn, before, after))
    return tuple(found)


@given(curves())
def test_joints_are_those_of_the_pieces_one_by_one(chain: Curve) -> None:
    assert joints(chain) == one_by_one(chain)


@given(st.lists(curves(), min_size=1, max_size=4))
def test_courses_of_several_chains_are_those_of_each(chains: list[Curve]) -> None:
    for chain, (t, xy, along, bend) in zip(chains, courses(chains), strict=True):
        assert (xy == points(chain, t)).all()
        assert (bend == curvature(chain, t)).all()
        sizes = np.array([curve_length(Curve(piece[None]), tolerance=1e-4) for piece in chain.pieces])
        assert along[32::33] == pytest.approx(np.cumsum(sizes), rel=1e-12)
        assert all((first == again).all() for first, again in zip((t, xy, along, bend), course(chain), strict=True))


@given(curves())
def test_lengths_are_those_of_the_pieces_one_by_one(chain: Curve) -> None:
    alone = [curve_length(Curve(piece[None]), tolerance=1e-4) for piece in chain.pieces]
    assert piece_lengths(chain.pieces, tolerance=1e-4).tolist() == alone


@given(wild_pieces())
def test_a_piece_with_a_cusp_is_measured_as_closely(piece: Curve) -> None:
    (found,) = piece_lengths(piece.pieces, tolerance=1e-4)
    assert found == curve_length(piece, tolerance=1e-4)
    assert found == pytest.approx(curve_length(piece, tolerance=1e-6), abs=1.1e-4)


def test_turns_of_a_closed_square_come_back_to_its_start() -> None:
    square = line((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0), (0.0, 0.0))
    assert turns_deg(square) == pytest.approx([90.0] * 4, abs=1e-12)
    assert len(joints(square)) == 3
    assert joints(Curve(square.pieces[:1])) == ()
    assert np.array([joint.turn_deg for joint in joints(square)]) == pytest.approx(90.0)
