"""Sections of the finished handle: against closed forms, a polygon drawn point by point, and a handle that leans."""

from __future__ import annotations

import dataclasses
import itertools
import math
from typing import Any

import numpy as np
import pytest
import shapely
import specimens
from hypothesis import given
from hypothesis import strategies as st
from specimens import bar_outline, ground

from bladegeom.curves.flatten import flatten
from bladegeom.handle.section import (
    CLEAR,
    HandleSection,
    handle_length,
    handle_sections,
    section_at,
)
from bladegeom.knife.knife import Knife
from bladegeom.knife.scales import Liner, Rounding, Scales
from bladegeom.knife.stock import Stock
from bladegeom.quantities.errors import ParameterError

PAIRS = list(itertools.product(specimens.BLADES, specimens.HANDLES))


def scales(**more: Any) -> Scales:
    return Scales(**{"slab": "NEMA L", "thickness": 8.0, **more})


def bar(height: float = 30.0, **more: Any) -> Knife:
    """A bar 4 mm thick, its tang 100 mm long and as high as told."""
    return ground(bar_outline(height=height), height=0.6 * height, scales=scales(**more))


def at(knife: Knife, x: float) -> HandleSection:
    assert knife.scale_face is not None
    return section_at(knife, knife.scale_face, x)


def leaning(angle_deg: float, **more: Any) -> Knife:
    """A handle between two parallels that fall towards the butt, 25 mm apart upright."""
    rear, drop = -110.0, 110.0 * math.tan(math.radians(angle_deg))
    outline = specimens.tang_outline([(rear, -drop)], [(rear, -25.0 - drop)])
    return ground(outline, height=15.0, scales=scales(**more))


def test_flat_slabs_make_a_rectangle() -> None:
    # Source: closed form: 4 of steel and twice 8, with liners twice 0.8 more, by 30.
    for liners, width in (((), 20.0), ((Liner(sheet="NEMA G-10", thickness=0.8),), 21.6)):
        section = at(bar(liners=liners), -50.0)
        assert section.width == pytest.approx(width, abs=1e-9)
        assert section.height == pytest.approx(30.0, abs=1e-9)
        assert section.girth == pytest.approx(2 * (30.0 + width), abs=1e-9)
        assert section.diameter == pytest.approx(2 * (30.0 + width) / math.pi, abs=1e-9)
        assert np.array(section.ends) == pytest.approx(np.array([[-50.0, -30.0], [-50.0, 0.0]]))


@given(radius=st.floats(0.2, 7.5), thickness=st.floats(7.6, 12.0), height=st.floats(16.0, 40.0))
def test_quarter_circles_at_the_corners(radius: float, thickness: float, height: float) -> None:
    # Source: closed form: the rectangle's corners give way to arcs, 8 r less and 2 pi r more.
    knife = bar(height, thickness=thickness, rounding=Rounding(width=radius, depth=radius))
    width = 4.0 + 2 * thickness
    expected = 2 * (width + height) - 8 * radius + 2 * math.pi * radius
    assert at(knife, -50.0).girth == pytest.approx(expected, abs=2e-4)


@given(width=st.floats(1.0, 14.0), part=st.floats(0.05, 0.99))
def test_domes(width: float, part: float) -> None:
    # Source: closed form: four arcs of radius (w^2 + d^2) / 2 d over w, flats between them, borders d lower each.
    depth = part * min(width, 7.0)
    radius = (width**2 + depth**2) / (2 * depth)
    knife = bar(rounding=Rounding(width=width, depth=depth))
    expected = 4 * radius * math.asin(width / radius) + 2 * (30.0 - 2 * width) + 2 * (20.0 - 2 * depth)
    assert at(knife, -50.0).girth == pytest.approx(expected, abs=2e-4)


def test_a_handle_like_its_mirror_image() -> None:
    half = at(bar(rounding=(Rounding(width=12.0, depth=2.0), Rounding(width=2.0, depth=2.0))), -50.0).half
    assert half[:, 1] == pytest.approx(half[::-1, 1], abs=1e-9)
    assert half[:, 0] == pytest.approx(30.0 - half[::-1, 0], abs=1e-9)


@pytest.mark.parametrize(("blade", "handle"), PAIRS)
def test_girth_against_a_polygon(blade: str, handle: str) -> None:
    # A second way: points fifty times as dense on the face, in the plane of the section, closed by shapely.
    rounding = (Rounding(width=9.0, depth=2.0), Rounding(width=2.5, depth=2.5))
    knife = specimens.profile(blade, handle, scales=scales(rounding=rounding, swell=((-110.0, 7.0), (-40.0, 8.0))))
    assert knife.scale_face is not None
    for section in handle_sections(knife):
        (x0, y0), (x1, y1) = section.ends
        turn = np.linspace(0.0, math.pi, 40_001)
        part = (1 - np.cos(turn)) / 2
        z = knife.scale_face.height(x0 + part * (x1 - x0), y0 + part * (y1 - y0))
        way = part * math.dist((x0, y0), (x1, y1))
        ring = np.concatenate([np.stack([way, z], axis=1), np.stack([way, -z], axis=1)[::-1]])
        assert section.girth == pytest.approx(shapely.Polygon(ring).length, abs=2e-4)
        assert section.width == pytest.approx(2 * z.max(), abs=1e-4)


def test_the_tape_goes_round_the_convex_part_only_a_little_longer() -> None:
    # What a tape measures is the hull; the section of a domed handle is convex but for rounding.
    section = at(bar(rounding=(Rounding(width=12.0, depth=2.0), Rounding(width=2.0, depth=2.0))), -50.0)
    ring = np.concatenate([section.half, (section.half * (1.0, -1.0))[::-1]])
    assert section.girth == pytest.approx(shapely.Polygon(ring).convex_hull.length, abs=1e-3)


@pytest.mark.parametrize("angle", [-12.0, 5.0, 12.0, 20.0])
def test_a_leaning_handle_is_measured_square_to_its_run(angle: float) -> None:
    # Source: closed form: parallels 25 mm apart upright are 25 cos a apart.
    rounding = Rounding(width=3.0, depth=3.0)
    section = at(leaning(angle, rounding=rounding), -50.0)
    true = 25.0 * math.cos(math.radians(angle))
    assert section.height == pytest.approx(true, abs=1e-6)
    assert section.girth == pytest.approx(2 * (20.0 + true) - 24.0 + 6 * math.pi, abs=2e-4)
    assert math.degrees(math.atan2(-section.up[0], section.up[1])) == pytest.approx(angle, abs=1e-6)
    # Cut upright it would be told higher by 1/cos a: 2 % at 12 degrees, 6 % at 20.
    upper, lower = leaning(angle).outline.tang_height(np.array([-50.0]))
    assert float(upper[0] - lower[0]) / section.height == pytest.approx(1 / math.cos(math.radians(angle)), abs=1e-6)


@pytest.mark.parametrize(("blade", "handle"), PAIRS)
@pytest.mark.parametrize(("lean", "bow"), [(0.0, 0.0), (20.0, 2.0), (15.0, -1.5)])
def test_stations_keep_clear(blade: str, handle: str, lean: float, bow: float) -> None:
    front_rounding = Rounding(width=2.0, depth=2.0)
    knife = specimens.profile(
        blade, handle, scales=scales(front_rounding=front_rounding), front_lean_deg=lean, front_bow=bow
    )
    sections = handle_sections(knife)
    assert 2 <= len(sections) <= 5
    assert [section.x for section in sections] == sorted((section.x for section in sections), reverse=True)
    front, butt = (shapely.LineString(flatten(c, 0.005)) for c in (knife.handle_front, knife.outline.butt))
    for section in sections:
        across = shapely.LineString(section.ends)
        assert across.distance(front) >= CLEAR + 2.0 - 1e-9
        assert across.distance(butt) >= CLEAR - 1e-9
        assert across.within(knife.handle_region.buffer(1e-6))
        assert knife.handle_region.exterior.distance(shapely.Point(section.ends[0])) < 1e-6
        assert knife.handle_region.exterior.distance(shapely.Point(section.ends[1])) < 1e-6
    assert "behind the front" in sections[0].what
    assert "in front of the butt" in sections[-1].what
    again = handle_sections(dataclasses.replace(knife))
    assert [(section.x, section.girth) for section in again] == [(section.x, section.girth) for section in sections]


def test_thickest_and_narrowest_are_so() -> None:
    knife = specimens.drop_point(scales=scales())
    sections = {what: section for section in handle_sections(knife) for what in section.what.split(", ")}
    girths = [at(knife, x).girth for x in np.arange(sections["in front of the butt"].x, -6.0, 0.5).tolist()]
    assert sections["largest girth"].girth == pytest.approx(max(girths), abs=0.01)
    assert sections["least girth"].girth == pytest.approx(min(girths), abs=0.01)


def test_an_even_handle_has_no_thickest_place() -> None:
    assert [section.what for section in handle_sections(bar())] == [
        "behind the front",
        "middle",
        "in front of the butt",
    ]


def test_a_tapered_tang_shows_in_width() -> None:
    knife = dataclasses.replace(bar(), stock=Stock(steel="1084", thickness=4.0, taper=((-100.0, 2.0), (0.0, 4.0))))
    assert at(knife, -50.0).width == pytest.approx(19.0, abs=1e-9)


def test_no_scales_no_sections() -> None:
    assert handle_sections(ground(bar_outline())) == ()


def test_a_stub_has_no_sections() -> None:
    knife = ground(bar_outline(tang=9.0), scales=scales())
    assert handle_sections(knife) == ()
    assert handle_length(knife) is None


@pytest.mark.parametrize("x", [5.0, -100.5, -300.0])
def test_no_section_outside_the_handle(x: float) -> None:
    with pytest.raises(ParameterError) as caught:
        at(bar(), x)
    assert caught.value.part == "section of the handle"


def test_length_of_a_bar() -> None:
    assert handle_length(bar()) == pytest.approx(100.0, abs=1e-9)


def test_length_of_a_leaning_handle() -> None:
    # Source: closed form: along parallels that fall by a, with an upright front and butt; the butt's lower corner is
    # half the height times sin a behind the middle of the butt.
    a = math.radians(10.0)
    assert handle_length(leaning(10.0)) == pytest.approx(110.0 / math.cos(a) + 12.5 * math.sin(a), abs=1e-3)
