"""Lumps of 0.2 mm and more over 20 mm and more are found, where they are and as high as they are.

That the profiles have none is tested with the rest of their fairness.
"""

from __future__ import annotations

import dataclasses
import itertools
import math

import numpy as np
import pytest
from draws import quick
from specimens import drop_point, ground, plain_tang

from bladegeom import profiles
from bladegeom.checks.fairness import ROUNDED, fair_lines
from bladegeom.checks.lumps import LUMP, check_lumps, lumps
from bladegeom.curves.build import line, spline
from bladegeom.curves.curvature import Course, course
from bladegeom.curves.curve import Curve, FloatArray, points
from bladegeom.outline.outline import join_halves

PAIRS = (("drop_point", "straight"), ("chef", "birds_head"), ("wharncliffe", "swelled"), ("spear_point", "taper"))


def at(path: Course, curve: Curve, along: FloatArray) -> FloatArray:
    """Points of a curve, shape (n, 2), mm."""
    return points(curve, np.minimum(np.interp(along, path.along, path.t), len(curve) - 1e-9))


def lumped(path: Course, curve: Curve, middle: float, height: float, width: float) -> Curve:
    """The curve through knots every 2 mm, moved out by half a wave of the cosine, which is 0 beyond the width."""
    along = np.linspace(0.0, path.along[-1], int(path.along[-1] / 2))
    xy = at(path, curve, along)
    ahead = np.gradient(xy, axis=0)
    right = np.stack([ahead[:, 1], -ahead[:, 0]], axis=1) / np.hypot(*ahead.T)[:, None]
    out = height / 2 * (1 + np.cos(2 * math.pi * np.clip((along - middle) / width, -0.5, 0.5)))
    return spline([(float(x), float(y)) for x, y in xy + out[:, None] * right])


@pytest.mark.parametrize("pairs", quick([PAIRS[:2], PAIRS], PAIRS[:2]), ids=len)
def test_most_lumps_are_found(pairs: tuple[tuple[str, str], ...]) -> None:
    # External: the lump's own formula, laid over lines of the drawer.
    told: list[bool] = []
    for blade, handle in pairs:
        outline = join_halves(profiles.get(blade)(), profiles.get(handle)())
        for curve in fair_lines(outline).values():
            path = course(curve)
            for height, width, share in itertools.product((0.2, -0.3), (22.0, 36.0), (0.35, 0.65)):
                middle = share * float(path.along[-1])
                near = np.abs(path.along - middle) < width / 2 + 8
                if path.along[-1] < 2.5 * width or (np.abs(path.bend[near]) > ROUNDED).any():
                    continue
                seen = list(lumps(course(lumped(path, curve, middle, height, width))))
                told.append(any(abs(lump.along - middle) < width / 4 and lump.height * height > 0 for lump in seen))
    assert len(told) > 10 * len(pairs)
    assert sum(told) >= 0.8 * len(told)


def test_a_lump_on_a_straight_line_is_told_as_it_is() -> None:
    straight = spline([(0.0, 0.0), (150.0, 0.0)])
    path = course(straight)
    for height, width in ((0.2, 25.0), (-0.4, 35.0)):
        (lump,) = lumps(course(lumped(path, straight, 70.0, height, width)))
        # The spline through knots every 2 mm rounds off where the cosine's curvature ends at once.
        assert lump.along == pytest.approx(70.0, abs=1.0)
        assert lump.height == pytest.approx(height, rel=0.15)
    assert not list(lumps(course(lumped(path, straight, 70.0, 0.5 * LUMP, 25.0))))
    assert not list(lumps(course(lumped(path, straight, 70.0, 0.3, 60.0))))


def test_a_knot_of_the_spine_lifted_by_a_millimetre() -> None:
    outline = plain_tang()
    tip, back = outline.spine.start, outline.spine.end

    def spine(lift: float) -> Curve:
        knots = [(tip[0] + (back[0] - tip[0]) * i / 6, tip[1] + (back[1] - tip[1]) * i / 6) for i in range(7)]
        knots[3] = (knots[3][0], knots[3][1] + lift)
        return spline(knots)

    (finding,) = [
        found
        for found in check_lumps(ground(dataclasses.replace(outline, spine=spine(1.0))))
        if found.code == "lump" and "stands out" in found.message
    ]
    assert finding.severity == "note"
    assert finding.x == pytest.approx((tip[0] + back[0]) / 2, abs=2.0)
    assert not list(check_lumps(ground(dataclasses.replace(outline, spine=spine(0.0)))))
    assert not list(check_lumps(drop_point()))


@pytest.mark.parametrize(("apart", "lift"), [(15.0, 0.5), (15.0, 1.0), (20.0, 0.3), (20.0, 1.0)])
def test_one_knot_out_of_place_is_one_finding_and_told_by_how_much(apart: float, lift: float) -> None:
    # A spline swings to the other side beside it, by less: to move those knots too would make it worse.
    outline = plain_tang()
    tip, back = outline.spine.start, outline.spine.end
    count = round(math.dist(tip, back) / apart)
    knots = [
        (tip[0] + (back[0] - tip[0]) * i / count, tip[1] + (back[1] - tip[1]) * i / count) for i in range(count + 1)
    ]
    x, y = knots[count // 2]
    knots[count // 2] = (x, y + lift)
    (finding,) = check_lumps(ground(dataclasses.replace(outline, spine=spline(knots))))
    assert finding.x == pytest.approx(x, abs=2.0)
    assert finding.measured == pytest.approx(lift, rel=0.12)


@pytest.mark.parametrize(("after", "count"), [(0.006, 0), (0.0045, 1)])
def test_a_bend_that_stays_is_no_lump(after: float, count: int) -> None:
    """The curvature rises by 0.0105/mm and falls back by 0.0040, or by 0.0055: 0.45 of the rise are 0.0047."""
    straight = line((0.0, 0.0), (70.0, 0.0))
    along = np.array([0.0, 10.0, 30.0, 50.0, 70.0])
    bent = course(straight)._replace(along=along, bend=np.array([0.0, -0.0005, 0.010, after, after + 0.0008]))
    assert len(list(lumps(bent))) == count
