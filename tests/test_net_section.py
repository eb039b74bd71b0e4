"""Sections of a drilled tang against closed forms and against lines cut by another library; chart and mark."""

from __future__ import annotations

import dataclasses
import math
from typing import Any

import numpy as np
import pytest
import shapely
from fastened import mixed, openings
from hypothesis import assume, given
from hypothesis import strategies as st
from specimens import BLADES, HANDLES, bar_outline, drop_point, ground, plain_tang, profile, tang_outline

from bladegeom.drawing.drawing import Label, Path
from bladegeom.holes.net_section import NO_PROMISE, NetSection, chords, cutting, net_section, sections
from bladegeom.knife.hole import Hole, Opening, Purpose, Slot
from bladegeom.knife.knife import Knife
from bladegeom.knife.stock import Stock
from bladegeom.sheets.net_section_chart import net_section_chart, net_section_mark
from bladegeom.sheets.template import template_drawing

HIGH, THICK = 30.0, 4.0
"""Of the bar's tang, mm: from y = -30 to 0, from x = -100 to 0."""

EXACT = 1e-12


def hole(x: float, y: float, d: float) -> Hole:
    return Hole(x=x, y=y, diameter=d, purpose="lightening")


def bar(*holes: Opening, **more: Any) -> Knife:
    return ground(bar_outline(), holes=holes, **more)


def at(section: NetSection, x: float) -> int:
    """The station at an x."""
    (i,) = np.flatnonzero(np.abs(section.x - x) < 1e-9)
    return int(i)


# Closed forms.


def test_a_plate_without_holes() -> None:
    # Source: rectangle, h t, t h^3 / 12, h t^3 / 12, t h^2 / 6, h t^2 / 6.
    section = net_section(bar())
    for got in (section.net, section.full):
        assert got.height == pytest.approx(HIGH, rel=EXACT)
        assert got.area == pytest.approx(HIGH * THICK, rel=EXACT)
        assert got.centroid == pytest.approx(-15.0, rel=EXACT)
        assert got.edgewise_inertia == pytest.approx(THICK * HIGH**3 / 12, rel=EXACT)
        assert got.sideways_inertia == pytest.approx(HIGH * THICK**3 / 12, rel=EXACT)
        assert got.edgewise_modulus == pytest.approx(THICK * HIGH**2 / 6, rel=EXACT)
        assert got.sideways_modulus == pytest.approx(HIGH * THICK**2 / 6, rel=EXACT)
    assert section.weakest is None


def test_a_plate_with_one_hole_at_the_centre() -> None:
    # Source: rectangle less rectangle about one axis, t (h^3 - d^3) / 12.
    d = 12.0
    section = net_section(bar(hole(-50.0, -15.0, d)))
    i = at(section, -50.0)
    net = section.net
    assert section.weakest == i
    assert net.height[i] == pytest.approx(HIGH - d, rel=EXACT)
    assert net.area[i] == pytest.approx(THICK * (HIGH - d), rel=EXACT)
    assert net.edgewise_inertia[i] == pytest.approx(THICK * (HIGH**3 - d**3) / 12, rel=EXACT)
    assert net.edgewise_modulus[i] == pytest.approx(THICK * (HIGH**3 - d**3) / (6 * HIGH), rel=EXACT)
    assert net.sideways_inertia[i] == pytest.approx(THICK**3 * (HIGH - d) / 12, rel=EXACT)
    assert net.sideways_modulus[i] == pytest.approx(THICK**2 * (HIGH - d) / 6, rel=EXACT)
    assert section.height_left[i] == pytest.approx((HIGH - d) / HIGH, rel=EXACT)
    assert net.centroid[i] == pytest.approx(-15.0, abs=EXACT)


@given(st.floats(-23.0, -7.0), st.floats(1.0, 12.0))
def test_a_plate_with_one_hole_off_the_centre(y: float, d: float) -> None:
    # Source: parallel axes: the hole's centroid and second moment are taken from the plate's.
    section = net_section(bar(hole(-50.0, y, d)))
    i = at(section, -50.0)
    away = y + 15.0
    shift = -d * away / (HIGH - d)
    inertia = HIGH**3 / 12 + HIGH * shift**2 - d**3 / 12 - d * (away - shift) ** 2
    assert section.net.centroid[i] == pytest.approx(shift - 15.0, abs=1e-11)
    assert section.net.edgewise_inertia[i] == pytest.approx(THICK * inertia, rel=1e-11)
    assert section.net.edgewise_modulus[i] == pytest.approx(THICK * inertia / (HIGH / 2 + abs(shift)), rel=1e-11)
    assert section.net.sideways_modulus[i] == pytest.approx(THICK**2 * (HIGH - d) / 6, rel=1e-11)


@pytest.mark.parametrize(("low", "high"), [((-22.0, 6.0), (-8.0, 6.0)), ((-21.0, 8.0), (-7.0, 4.0))])
def test_a_plate_with_two_holes(low: tuple[float, float], high: tuple[float, float]) -> None:
    # Source: parallel axes; about the plate's middle and then about the section's own centroid.
    section = net_section(bar(hole(-50.0, *low), hole(-50.0, *high)))
    i = at(section, -50.0)
    left = HIGH - low[1] - high[1]
    static = -sum(d * (y + 15.0) for y, d in (low, high))
    about_middle = HIGH**3 / 12 - sum(d**3 / 12 + d * (y + 15.0) ** 2 for y, d in (low, high))
    shift = static / left
    inertia = THICK * (about_middle - left * shift**2)
    assert section.net.height[i] == pytest.approx(left, rel=EXACT)
    assert section.net.centroid[i] == pytest.approx(shift - 15.0, abs=1e-12)
    assert section.net.edgewise_inertia[i] == pytest.approx(inertia, rel=1e-11)
    assert section.net.edgewise_modulus[i] == pytest.approx(inertia / (HIGH / 2 + abs(shift)), rel=1e-11)


def test_beside_its_centre_a_hole_takes_its_chord() -> None:
    # Source: chord of a circle, 2 sqrt(r^2 - u^2).
    section = net_section(bar(hole(-50.0, -15.0, 12.0)))
    u = np.abs(section.x + 50.0)
    chord = 2 * np.sqrt(np.maximum(36.0 - u**2, 0.0))
    assert section.net.height == pytest.approx(HIGH - chord, abs=1e-6)
    assert section.net.height[u >= 6.0] == pytest.approx(HIGH, abs=1e-9)


def test_holes_that_run_into_each_other_count_once() -> None:
    section = net_section(bar(hole(-50.0, -14.0, 8.0), hole(-50.0, -17.0, 8.0), hole(-50.0, -15.0, 3.0)))
    assert section.net.height[at(section, -50.0)] == pytest.approx(HIGH - 11.0, rel=EXACT)


def test_a_hole_through_the_border_leaves_one_stretch() -> None:
    # 6 of the 10 mm lie in the steel; what is left is a plain plate 24 mm high.
    section = net_section(bar(hole(-50.0, -1.0, 10.0)))
    i = at(section, -50.0)
    assert section.net.height[i] == pytest.approx(24.0, rel=EXACT)
    assert section.net.edgewise_modulus[i] == pytest.approx(THICK * 24.0**2 / 6, rel=EXACT)


def test_nothing_is_left_where_a_hole_is_wider_than_the_tang() -> None:
    section = net_section(bar(hole(-50.0, -15.0, 40.0)))
    i = at(section, -50.0)
    net = section.net
    assert (net.height[i], net.area[i], net.edgewise_inertia[i], net.edgewise_modulus[i]) == (0.0, 0.0, 0.0, 0.0)
    assert net.sideways_modulus[i] == 0.0
    assert section.height_left[i] == 0.0
    assert math.isnan(net.centroid[i])


def test_the_taper_counts() -> None:
    # 4 mm at the front, 2 mm at the butt: at x -50 3 mm.
    knife = bar(hole(-50.0, -15.0, 10.0))
    knife = dataclasses.replace(knife, stock=Stock(steel="1084", thickness=4.0, taper=((-100.0, 2.0), (0.0, 4.0))))
    section = net_section(knife)
    i = at(section, -50.0)
    assert section.net.sideways_modulus[i] == pytest.approx(9.0 * 20.0 / 6, rel=EXACT)
    assert section.net.sideways_inertia[i] == pytest.approx(27.0 * 20.0 / 12, rel=EXACT)
    assert section.net.area[i] == pytest.approx(60.0, rel=EXACT)
    # Each undrilled section is the weakest so far: the thickness falls all the way.
    assert section.sideways_against_ahead == pytest.approx(section.height_left, rel=EXACT)


def test_the_weakest_section_ahead() -> None:
    # A waist of 15 mm at x -30, ahead of a swell of 25 mm: a hole of 10 mm there leaves as much as the waist has.
    outline = tang_outline(
        [(-30.0, -5.0), (-60.0, 0.0), (-110.0, 0.0)], [(-110.0, -25.0), (-60.0, -25.0), (-30.0, -20.0)]
    )
    section = net_section(ground(outline, holes=(hole(-80.0, -12.5, 10.0), hole(-30.0, -12.5, 3.0))))
    swell, waist = at(section, -80.0), at(section, -30.0)
    assert section.sideways_ahead[swell] == pytest.approx(15.0 * 16.0 / 6)
    assert section.sideways_against_ahead[swell] == pytest.approx(1.0)
    assert section.edgewise_against_ahead[swell] == pytest.approx((25.0**3 - 10.0**3) / 25.0 / 15.0**2)
    assert section.height_left[swell] == pytest.approx(0.6)
    # The waist's own hole is narrower and still the weaker place.
    assert section.weakest == waist
    assert section.sideways_against_ahead[waist] == pytest.approx(0.8)


def test_what_lies_in_the_clear_strip_is_another_finding_s() -> None:
    assert net_section(bar(hole(-4.0, -15.0, 6.0))).weakest is None
    both = net_section(bar(hole(-4.0, -15.0, 9.0), hole(-50.0, -15.0, 3.0)))
    assert both.weakest == at(both, -50.0)


# Against another library.


def brute(knife: Knife, x: float, holes: list[Opening]) -> tuple[float, float, float]:
    """Height, centroid and second moment of an upright line less the holes as many-sided polygons."""
    tools = [
        (shapely.Point(*opening.axis[0]) if isinstance(opening, Hole) else shapely.LineString(opening.axis)).buffer(
            opening.diameter / 2, quad_segs=512
        )
        for opening in holes
    ]
    upper, lower = knife.outline.tang_height(np.array([x]))
    left = shapely.difference(shapely.LineString([(x, lower[0]), (x, upper[0])]), shapely.union_all(tools))
    ends = [tuple(sorted(part.xy[1])) for part in shapely.get_parts(left) if not part.is_empty]
    height = sum(b - a for a, b in ends)
    centre = sum((b * b - a * a) / 2 for a, b in ends) / height
    return height, centre, sum(((b - centre) ** 3 - (a - centre) ** 3) / 3 for a, b in ends)


@given(st.lists(openings(), min_size=1, max_size=4), st.floats(-99.0, -1.0), st.booleans())
def test_sections_agree_with_lines_cut_by_another_library(holes: list[Opening], x: float, turned: bool) -> None:  # noqa: FBT001
    if turned:
        holes = [
            dataclasses.replace(opening, start=opening.end, end=opening.start) if isinstance(opening, Slot) else opening
            for opening in holes
        ]
    knife = bar(*holes)
    got = sections(knife, np.array([x]), knife.openings)
    height, centre, inertia = brute(knife, x, holes)
    # The many-sided polygons are 1.2e-6 of a radius too small, which shows most where a line grazes a rim.
    assert got.height[0] == pytest.approx(height, abs=0.04)
    assert got.centroid[0] == pytest.approx(centre, abs=0.04)
    assert got.edgewise_inertia[0] == pytest.approx(THICK * inertia, rel=0.01)


@given(st.floats(-180.0, 180.0), st.floats(0.5, 15.0), st.floats(-1.2, 1.2))
def test_a_leaning_slot_s_chord(angle_deg: float, length: float, way: float) -> None:
    a = math.radians(angle_deg)
    half = np.array([math.cos(a), math.sin(a)]) * length / 2
    slot = Slot(
        start=(float(-50 - half[0]), float(-15 - half[1])),
        end=(float(-50 + half[0]), float(-15 + half[1])),
        diameter=5.0,
        purpose="lightening",
    )
    x = -50.0 + way * (abs(half[0]) + 2.5)
    # The greatest and least height over x of circles at many places of the axis.
    s = np.linspace(0.0, 1.0, 20_001)[:, None]
    centre = np.array(slot.start) + s * (np.array(slot.end) - np.array(slot.start))
    rise = np.sqrt(np.maximum(2.5**2 - (x - centre[:, 0]) ** 2, -1.0) + 0j)
    here = rise.imag == 0
    down, up = (end[0, 0] for end in chords(np.array([x]), [slot]))
    if not here.any():
        assert abs(way) > 1 - 1e-6
        assert math.isnan(up)
        assert math.isnan(down)
        return
    assert up == pytest.approx((centre[:, 1] + rise.real)[here].max(), abs=1e-3)
    assert down == pytest.approx((centre[:, 1] - rise.real)[here].min(), abs=1e-3)
    assert cutting(x, [slot]).tolist() == [True]


def deepest_between(knife: Knife) -> float:
    """Least height of steel at places that are no stations."""
    x = np.linspace(-70.001, -29.999, 2000)
    return float(sections(knife, x, knife.openings).height.min())


@pytest.mark.parametrize("ends", [(-20.0, -12.0), (-12.0, -20.0)])
def test_an_upright_slot_s_chord(ends: tuple[float, float]) -> None:
    # Source: 8 mm from centre to centre, and half a chord of the end's circle above and below.
    slot = Slot(start=(-50.0, ends[0]), end=(-50.0, ends[1]), diameter=6.0, purpose="lightening")
    x = np.array([-50.0, -48.0, -46.0])
    down, up = chords(x, [slot])
    half = [3.0, math.sqrt(5.0), math.nan]
    assert up[:, 0] == pytest.approx(np.array([-12.0 + h for h in half]), nan_ok=True)
    assert down[:, 0] == pytest.approx(np.array([-20.0 - h for h in half]), nan_ok=True)


@given(st.floats(2.0, 8.0), st.floats(2.0, 8.0), st.floats(-9.0, 9.0), st.floats(-0.3, 0.3))
def test_no_place_between_stations_is_deeper(diameter: float, other: float, apart: float, at_x: float) -> None:
    knife = bar(hole(-50.0 + at_x, -8.0, diameter), hole(-50.0 + at_x + apart, -22.0, other))
    assert net_section(knife).net.height.min() <= deepest_between(knife) + 1e-9


@given(st.floats(-12.0, 12.0), st.floats(-8.0, 8.0), st.floats(1.0, 6.0))
def test_nor_is_one_in_a_leaning_slot(along: float, up: float, d: float) -> None:
    assume(math.hypot(along, up) > 0.1)
    slot = Slot(start=(-50.0, -15.0), end=(-50.0 + along, -15.0 + up), diameter=d, purpose="lightening")
    assert net_section(bar(slot)).net.height.min() <= deepest_between(bar(slot)) + 1e-9


@pytest.mark.parametrize("blade", BLADES)
@pytest.mark.parametrize("handle", HANDLES)
def test_every_profile(blade: str, handle: str) -> None:
    knife = profile(blade, handle, holes=(hole(-50.0, -12.0, 6.0),))
    section = net_section(knife)
    for values in (section.height_left, section.net.edgewise_modulus / section.full.edgewise_modulus):
        assert np.isfinite(values).all()
        assert ((values > 0) & (values <= 1 + 1e-9)).all()
    assert (section.sideways_against_ahead >= section.height_left - 1e-12).all()
    assert (np.diff(section.x) < 0).all()
    assert section.x[0] == pytest.approx(min(knife.handle_front_middle[0], *knife.plunge_line.pieces[..., 0].ravel()))


def test_taken_height_is_the_holes_area() -> None:
    # Integrated along x, what the sections lack is what the holes take out, slots and tapers and all.
    knife = mixed()
    x = np.linspace(-117.9, -2.1, 20_001)
    full, net = (sections(knife, x, some).height for some in ((), knife.openings))
    gone = float(np.trapezoid(full - net, x))
    assert gone == pytest.approx(sum(float(opening.moments[0]) for opening in knife.openings), rel=1e-4)


# On paper.


def labels(items: Any) -> list[str]:
    return [item.text for item in items if isinstance(item, Label)]


def test_the_mark_stands_at_the_weakest_station() -> None:
    mark = net_section_mark(bar(hole(-50.0, -15.0, 12.0)))
    assert labels(mark) == ["weakest here: 60 % left"]
    upright = [item.curve.pieces.reshape(-1, 2) for item in mark if isinstance(item, Path)]
    assert all(points[:, 0] == pytest.approx(-50.0) for points in upright)
    # In the steel above and below the hole, not through it.
    inside = [(points[:, 1].min(), points[:, 1].max()) for points in upright]
    assert [(round(a, 6), round(b, 6)) for a, b in sorted(inside)] == [(-32.0, -21.0), (-9.0, 2.0)]
    assert net_section_mark(bar()) == ()


@pytest.mark.parametrize("knife", [drop_point(holes=(hole(-30.0, -10.0, 8.0),)), mixed()], ids=["one", "mixed"])
def test_the_mark_s_text_is_clear_of_the_template(knife: Knife) -> None:
    drawn = template_drawing(knife).items
    (label,) = [item for item in net_section_mark(knife, drawn) if isinstance(item, Label)]
    box = shapely.Polygon(label.corners)
    for item in drawn:
        if isinstance(item, Label):
            assert not shapely.Polygon(item.corners).intersects(box)
        elif isinstance(item, Path):
            assert not shapely.LineString(item.curve.pieces[:, [0, 3]].reshape(-1, 2)).intersects(box)


def test_the_chart_is_true_to_size() -> None:
    knife = bar(hole(-50.0, -15.0, 12.0))
    chart = net_section_chart(knife)
    curves = [item.curve for item in chart.items if isinstance(item, Path) and item.pen.width == 0.35]
    (net,) = curves
    points = net.pieces[:, [0, 3]].reshape(-1, 2)
    # 12 mm deep at the hole's centre, exactly under it.
    assert np.ptp(points[:, 1]) == pytest.approx(12.0)
    assert points[points[:, 1].argmin(), 0] == pytest.approx(-50.0)
    assert (points[:, 0].min(), points[:, 0].max()) == pytest.approx((-100.0, 0.0))
    words = " ".join(labels(chart.items))
    assert NO_PROMISE in words
    assert "18.00 mm (0.709 in) of 30.00 mm (1.181 in) left" in words
    assert "50 % of it (common practice, no source" in words


def test_a_chart_without_holes_tells_of_no_weakest_place() -> None:
    chart = net_section_chart(ground(plain_tang()))
    words = " ".join(labels(chart.items))
    assert "eakest" not in words
    assert NO_PROMISE in words


def test_only_a_chart_of_lightening_holes_tells_what_they_do_to_bending() -> None:
    cases: tuple[tuple[Purpose, bool], ...] = (("lightening", True), ("lanyard", False))
    for purpose, told in cases:
        opening = dataclasses.replace(hole(-50.0, -15.0, 6.0), purpose=purpose)
        words = [item.text for item in net_section_chart(bar(opening)).items if isinstance(item, Label)]
        assert any("Weakest at x -50.00 mm" in text for text in words)
        assert any("bends" in text for text in words) is told


def test_a_tang_cut_through_is_told_so() -> None:
    cut = dataclasses.replace(hole(-50.0, -15.0, 6.0), purpose="lightening", diameter=40.0)
    words = " ".join(item.text for item in net_section_chart(bar(cut)).items if isinstance(item, Label))
    assert "does not hold together" in words
    assert "inf" not in words
