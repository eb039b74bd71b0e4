"""Waves, flat spots, leaps and kinks are found where they are, and nowhere else."""

from __future__ import annotations

import dataclasses
import math

import pytest
import specimens

from bladegeom import profiles
from bladegeom.checks.fairness import LEAP, check_fairness
from bladegeom.checks.lumps import check_lumps
from bladegeom.curves.build import arc, line, spline
from bladegeom.curves.curve import Curve, Vector, join
from bladegeom.drawing.drawing import Circle, Drawing, Label, Path
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.outline.outline import Outline, join_halves
from bladegeom.sheets.curvature_comb import curvature_comb
from bladegeom.writers.svg import svg_of_drawing

BLADES, HANDLES = (
    [name for name in profiles.names() if profiles.half(profiles.get(name)) == side] for side in ("blade", "handle")
)

SLOPING = {("boning", "taper"): {"wave"}, ("skinner", "taper"): {"wave"}}
"""Where a spine that rises towards the handle meets a straight falling handle, the line between them has a wave."""


def with_edge(edge: Curve) -> Knife:
    bar = specimens.bar_outline(blade=edge.end[0])
    return specimens.ground(
        dataclasses.replace(
            bar,
            edge=edge,
            spine=line(edge.end, (edge.end[0] - 10.0, 0.0), (0.0, 0.0)),
            choil=join(line((-1.0, -30.0), (0.0, -30.0)), line((0.0, -30.0), edge.start))
            if edge.start != (0.0, -30.0)
            else bar.choil,
        )
    )


def found(knife: Knife, code: str) -> list[Finding]:
    return [finding for finding in check_fairness(knife) if finding.code == code]


def waved(rise: float) -> Curve:
    """An edge along the board with one knot out of place, then a belly."""
    along = spline([(0.0, -30.0), (25.0, -30.0), (50.0, -30.0 + rise), (75.0, -30.0)], end_deg=0.0)
    return join(along, spline([(75.0, -30.0), (100.0, -28.0), (130.0, -15.0)], start_deg=0.0))


@pytest.mark.parametrize("blade", BLADES)
def test_the_profiles_are_fair(blade: str) -> None:
    for handle in HANDLES:
        knife = specimens.ground(join_halves(profiles.get(blade)(), profiles.get(handle)()), height=8.0)
        codes = {finding.code for finding in (*check_fairness(knife), *check_lumps(knife))}
        assert codes <= SLOPING.get((blade, handle), set()), handle


def test_a_knot_out_of_place_is_a_wave() -> None:
    waves = found(with_edge(waved(0.1)), "wave")
    assert waves
    assert all(0.0 < (wave.x or 0.0) < 80.0 for wave in waves)
    assert all(wave.severity == "note" and wave.measured is not None and wave.measured < 1.5 for wave in waves)
    # A tenth of that is less than a thumb finds.
    assert not found(with_edge(waved(0.01)), "wave")


def test_a_recurve_is_no_wave() -> None:
    assert not [
        finding
        for finding in check_fairness(specimens.recurve())
        if finding.code == "wave" and "edge" in finding.message
    ]


def test_a_kink_and_a_corner() -> None:
    for bend, expected in ((0.05, 0), (1.0, 1), (5.0, 0)):
        first: Vector = (60.0, -30.0)
        turned = spline([first, (130.0, -10.0)], start_deg=bend)
        edge = join(line((0.0, -30.0), first), turned)
        kinks = found(with_edge(edge), "kink")
        assert len(kinks) == expected
        for kink in kinks:
            assert (kink.x, kink.y, kink.measured) == pytest.approx((60.0, -30.0, bend), abs=1e-6)
            assert kink.severity == "warning"


def test_a_leap_of_the_curvature() -> None:
    for radius in (40.0, 60.0):
        round_part = arc((60.0, -30.0 + radius), radius, 270.0, 30.0)
        knife = with_edge(join(line((0.0, -30.0), (60.0, -30.0)), round_part))
        leaps = found(knife, "curvature-leap")
        assert len(leaps) == (1 if 1 / radius > LEAP else 0)
        for leap in leaps:
            assert (leap.x, leap.measured) == pytest.approx((60.0, 1 / radius), rel=1e-3)
            assert "from straight to a radius of 40.0" in leap.message


def test_where_a_rounded_corner_begins_is_no_leap() -> None:
    corner = join(line((0.0, -30.0), (60.0, -30.0)), arc((60.0, -20.0), 10.0, 270.0, 30.0))
    assert not found(with_edge(corner), "curvature-leap")


def test_a_leap_from_one_side_to_the_other_says_so() -> None:
    first = arc((60.0, -90.0), 60.0, 100.0, -10.0)
    edge = join(first, arc((60.0, 30.0), 60.0, 270.0, 20.0))
    (finding,) = found(with_edge(edge), "curvature-leap")
    assert finding.measured == pytest.approx(2 / 60, rel=1e-3)
    assert "to a radius of 60.00 mm (2.362 in) the other way at (60.00, -30.00)" in finding.message


def test_a_straight_lead_into_a_rounded_corner_is_no_flat_spot() -> None:
    """A hollow that straightens out before a tight bend to the same side, as before a choil; farther off it counts."""

    def before(tight: float) -> Curve:
        # Backwards from a level end at (60, -30): nearly straight over 17 mm, then round.
        lead = arc((60.0, 1970.0), 2000.0, 270.0, -0.5)
        turn = math.radians(0.5)
        middle = (lead.end[0] + 100.0 * math.sin(turn), lead.end[1] + 100.0 * math.cos(turn))
        hollow = arc(middle, 100.0, 269.5, -20.0)
        return join(hollow.reversed(), lead.reversed(), arc((60.0, -30.0 + tight), tight, 270.0, 40.0))

    assert not found(with_edge(before(10.0)), "flat-spot")
    assert found(with_edge(before(36.0)), "flat-spot")


def test_a_flat_spot_between_two_bends() -> None:
    def edge(side: float, step: float) -> Curve:
        rows = (-27.0, side, -30.0, -30.0, side, -27.0)
        return spline([(i * step, y) for i, y in enumerate(rows)])

    (spot,) = found(with_edge(edge(-29.5, 16.0)), "flat-spot")
    assert spot.x == pytest.approx(40.0, abs=3.0)
    assert spot.measured is not None
    assert spot.measured > 0.03
    # On a parabola, 1 mm up beside the middle and 3 mm farther out, there is none.
    assert not found(with_edge(edge(-29.0, 16.0)), "flat-spot")
    # Over more than 30 mm it was drawn so.
    assert not found(with_edge(edge(-29.5, 24.0)), "flat-spot")


def test_a_line_drawn_straight_is_no_flat_spot() -> None:
    lower = join(
        arc((20.0, 20.0), 50.0, 250.0, 20.0), line((20.0, -30.0), (60.0, -30.0)), arc((60.0, 20.0), 50.0, 270.0, 20.0)
    )
    assert not found(with_edge(lower), "flat-spot")


def comb_of(outline: Outline) -> tuple[list[Path], list[Circle], list[Label]]:
    items = curvature_comb(outline)
    return (
        [i for i in items if isinstance(i, Path)],
        [i for i in items if isinstance(i, Circle)],
        [i for i in items if isinstance(i, Label)],
    )


def test_the_comb_stands_off_by_the_curvature() -> None:
    paths, _, (scale,) = comb_of(specimens.disc_outline())
    # A quarter of a disc and more: every tooth of the edge has one height, on the outside.
    teeth = [p.curve for p in paths if len(p.curve) == 1]
    heights = {round(((t.end[0] - 45.0) ** 2 + t.end[1] ** 2) ** 0.5 - specimens.DISC_RADIUS, 3) for t in teeth}
    assert max(heights) - min(heights) < 0.01
    height = max(heights)
    told = float(scale.text.rpartition("radius of ")[2].split()[0])
    assert height * specimens.DISC_RADIUS == pytest.approx(10.0 * told, rel=0.05)


def test_the_comb_marks_inflections_and_can_be_drawn() -> None:
    outline = specimens.recurve_outline()
    _, circles, _ = comb_of(outline)
    assert [c for c in circles if 15 < c.x < 35]
    svg = svg_of_drawing(Drawing(name="comb", items=curvature_comb(outline)))
    assert svg.count(b"<path") > 50


def test_a_bar_has_no_comb() -> None:
    assert curvature_comb(specimens.bar_outline()) == ()
