"""Preflight of cut files: every planted fault is found by its code and at its place, and clean files pass."""

from __future__ import annotations

import io
import itertools
import math
from collections.abc import Sequence

import ezdxf
import numpy as np
import pytest
from draws import draws, quick
from ezdxf.math import closed_uniform_bspline
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ellipe
from spoiled import FAULTS, Fault, Part, loosen, parts

from bladegeom.cutfile.preflight import Preflight, preflight_plan
from bladegeom.importers.cut_lines import read_cut_plan
from bladegeom.knife.finding import Finding
from bladegeom.knife.rules import Process

FEW = draws(2, long=100)
"""Random parts for each fault."""

ALWAYS = {"release", "unit-missing"}
"""Findings that a release brings with it: R12 names no unit, those after 2000 are new for some controllers."""


def checked(part: Part, thickness: float = 0.0) -> Preflight:
    # Release 12 has no place for a unit.
    unit = "mm" if part.version == "R12" else None
    return preflight_plan(read_cut_plan(part.data(), "part.dxf", unit=unit), Process(), thickness)


def codes(findings: Sequence[Finding]) -> set[str]:
    return {finding.code for finding in findings}


@given(part=parts)
@FEW
def test_a_clean_file_has_no_finding(part: Part) -> None:
    preflight = checked(part)
    assert codes(preflight.findings) <= ALWAYS
    assert not [f for f in preflight.findings if f.severity == "error"]
    assert preflight.unsought == ()


@given(part=parts)
@FEW
def test_measures_are_those_of_the_shape(part: Part) -> None:
    preflight = checked(part)
    w, h, r = part.length, part.height, part.radius
    assert preflight.width == pytest.approx(w + h / 2, abs=1e-9)
    assert preflight.height == pytest.approx(h + part.low, abs=1e-9)
    # The belly: an arc of sweep a = 4 atan(0.05) over the chord w is w a / (2 sin(a / 2)) long.
    sweep = 4 * math.atan(0.05)
    belly = w * sweep / (2 * math.sin(sweep / 2))
    slot = 2 * math.pi * r + 2 * 0.1 * w
    assert preflight.perimeter == pytest.approx(belly + w + h + math.pi * h / 2 + 6 * math.pi * r + slot, rel=1e-9)
    assert preflight.pierces == 5
    assert preflight.smallest_hole is not None
    assert preflight.smallest_hole.size == pytest.approx(2 * r, abs=0.02)
    assert preflight.narrowest_web is not None
    # Rims of holes on the middle line; between the holes; from the third one to the slot's rounded end.
    web = min(h / 2 - r, 0.15 * w - 2 * r, 0.15 * w - 2 * r)
    assert preflight.narrowest_web.size == pytest.approx(web, abs=0.002)
    assert preflight.smallest_radius is not None
    assert preflight.smallest_radius.size == pytest.approx(r, abs=1e-9)


@pytest.mark.parametrize("name", list(FAULTS))
@given(data=st.data())
@FEW
def test_every_planted_fault_is_found_where_it_is(name: str, data: st.DataObject) -> None:
    fault: Fault = FAULTS[name]
    part = data.draw(parts)
    if fault.since != "R12" and part.version == "R12":
        part = Part(length=part.length, height=part.height, x=part.x, y=part.y, radius=part.radius)
    place = fault.spoil(part)
    found = [f for f in checked(part).findings if f.code == fault.code]
    assert found
    if place is not None:
        assert min(math.dist(place, (f.x or 0.0, f.y or 0.0)) for f in found) <= fault.near


@pytest.mark.parametrize("name", list(FAULTS))
def test_a_fault_brings_no_error_of_another_kind(name: str) -> None:
    fault = FAULTS[name]
    part = Part()
    fault.spoil(part)
    errors = {f.code for f in checked(part).findings if f.severity == "error"}
    assert errors <= {fault.code, *ALONG.get(name, ())}


ALONG = {
    "hole across the outline": {"hole-outside"},
    "bow": {"crossing"},
    "line on a line": {"open"},
    "spline": {"open"},
}
"""Errors of another code that are true as well."""


@pytest.mark.parametrize("name", ["chords of 0.5 mm", "circle of 16 lines", "line without length", "arc of kilometres"])
def test_a_fault_is_told_once(name: str) -> None:
    part = Part()
    FAULTS[name].spoil(part)
    assert [f.code for f in checked(part).findings] == [FAULTS[name].code]


def test_a_round_spline_is_told_as_a_spline_only() -> None:
    """The chords that it stands here as are ours, and it has no mark to set."""
    part = Part()
    around = np.linspace(0.0, 2 * np.pi, 12, endpoint=False)
    points = [(170 + 5 * np.cos(a), 15 + 5 * np.sin(a), 0.0) for a in around]
    hole = closed_uniform_bspline(points, order=4)
    part.doc.modelspace().add_spline().apply_construction_tool(hole)
    assert [f.code for f in checked(part).findings] == ["spline"]


def test_an_arc_of_kilometres_is_told_once_at_its_whole_length() -> None:
    """The upper side of a bar 200 mm long as an arc entity of 5 km radius: it rises by 200 ** 2 / 8 / R."""
    part, radius = Part(), 5e6
    part.drop_outline()
    half = np.degrees(np.arcsin(100 / radius))
    space = part.doc.modelspace()
    space.add_arc((100.0, 30.0 - radius * np.cos(np.radians(half))), radius, 90 - half, 90 + half)
    space.add_lwpolyline([(0, 30, 0), (0, 0, 0), (200, 0, 0), (200, 30, 0)], format="xyb")
    (finding,) = (f for f in checked(part).findings if f.code == "flat-arc")
    assert "200.00 mm" in finding.message
    assert f"rises by {200**2 / 8 / radius:.4f} mm" in finding.message
    assert (finding.x, finding.y) == pytest.approx((100.0, 30.0), abs=0.01)


@pytest.mark.parametrize("width", [0.03, 0.05])
def test_a_line_too_short_to_chain_leaves_no_gap(width: float) -> None:
    """A bar of loose lines, one of them a speck within its upper side, or two in a row: nothing is open."""
    for corners in ([], [(100 + 2 * width, 30.0)]):
        part = Part()
        part.drop_outline()
        around = [(0.0, 0.0), (200.0, 0.0), (200.0, 30.0), *corners, (100 + width, 30.0), (100.0, 30.0), (0.0, 30.0)]
        for a, b in itertools.pairwise((*around, around[0])):
            part.doc.modelspace().add_line(a, b)
        assert codes(checked(part).findings) == {"tiny", "loose"}


def test_polygons_and_bent_lines_are_no_curves() -> None:
    """An octagon and a twelve-sided hole may be meant, and so may an outline of some straight lines."""
    part = Part()
    part.drop_outline()
    x, y, w, h = part.x, part.y, part.length, part.height
    part.draw([(x, y, 0), (x + w / 2, y - 2, 0), (x + w, y, 0), (x + w, y + h, 0), (x, y + h, 0)])
    for count, share in ((8, 0.85), (12, 0.93)):
        ring = [2 * math.pi * k / count for k in range(count)]
        centre = x + share * w, y + h / 2
        part.draw([(centre[0] + 4 * math.cos(a), centre[1] + 4 * math.sin(a), 0.0) for a in ring])
    assert "chords" not in codes(checked(part).findings)


@pytest.mark.parametrize(
    ("layer", "cut"),
    [
        ("Grindworks_blank", True),
        ("outline_center_punched", True),
        ("Textile", True),
        ("GrindLine", False),
        ("MARK_2", False),
        ("Bemaßung", False),
    ],
)
def test_layers_are_named_by_whole_words(layer: str, *, cut: bool) -> None:
    part = Part(version="R2018")
    part.doc.layers.add(layer)
    for entity in part.doc.modelspace():
        entity.dxf.layer = layer
    stream = io.StringIO()
    part.doc.write(stream)
    plan = read_cut_plan(stream.getvalue().encode(), "part.dxf")
    assert (len(plan.chains), len(plan.marks)) == ((5, 0) if cut else (0, 5))


def test_control_codes_in_names_are_shown_and_not_sent() -> None:
    part = Part()
    part.doc.layers.add("CUT\x1b[2J")
    part.doc.modelspace()[1].dxf.layer = "CUT\x1b[2J"
    preflight = preflight_plan(read_cut_plan(part.data(), "a\x1b]0;x\x07.dxf"), Process(), 0.0)
    assert preflight.plan.name == r"a\x1b]0;x\x07.dxf"
    assert r"CUT\x1b[2J" in dict(preflight.plan.layers)
    assert all(f.message.isprintable() for f in preflight.findings)


@pytest.mark.parametrize("count", quick([8_000, 40_000], 8_000))
def test_very_many_points_are_looked_at(count: int) -> None:
    """An oval of chords of 0.015 mm, or 0.07: nothing of it lies over itself, and all of it is measured."""
    doc = ezdxf.new("R2000", units=4)
    angles = np.linspace(0.0, 2 * np.pi, count, endpoint=False)
    doc.modelspace().add_lwpolyline(np.column_stack([140 * np.cos(angles), 25 * np.sin(angles)]), close=True)
    stream = io.StringIO()
    doc.write(stream)
    preflight = preflight_plan(read_cut_plan(stream.getvalue().encode(), "part.dxf"), Process(), 0.0)
    assert codes(preflight.findings) == {"tiny", "chords"}
    assert preflight.unsought == ()
    # Perimeter of an ellipse by its complete integral.
    assert preflight.perimeter == pytest.approx(4 * 140 * ellipe(1 - (25 / 140) ** 2), rel=1e-6)


def test_loose_pieces_measure_like_a_polyline() -> None:
    whole, loose = Part(), Part()
    loosen(loose)
    a, b = checked(whole), checked(loose)
    assert b.perimeter == pytest.approx(a.perimeter, abs=1e-6)
    assert b.pierces == a.pierces
    assert b.nest is not None
    assert len(b.nest.holes) == 4
    assert codes(b.findings) == {"loose"}


@pytest.mark.parametrize(("start", "end"), [(0.0, 360.0), (45.0, 45.0), (90.0, 450.0)])
def test_an_arc_that_ends_where_it_starts_is_a_whole_circle(start: float, end: float) -> None:
    doc = ezdxf.new("R2000", units=4)
    space = doc.modelspace()
    space.add_lwpolyline([(0.0, 0.0), (200.0, 0.0), (200.0, 40.0), (0.0, 40.0)], close=True)
    space.add_arc((50.0, 20.0), 6.0, start, end)
    stream = io.StringIO()
    doc.write(stream)
    preflight = preflight_plan(read_cut_plan(stream.getvalue().encode(), "part.dxf"), Process(), 0.0)
    assert preflight.nest is not None
    assert len(preflight.nest.holes) == 1
    assert preflight.perimeter == pytest.approx(480.0 + 2 * math.pi * 6.0, rel=1e-9)
