"""What a screen shows of a knife: the side view and the sections, measured in the pictures themselves."""

from __future__ import annotations

import dataclasses
import math
import re
import xml.etree.ElementTree as ET
from functools import cache
from pathlib import Path

import numpy as np
import pytest
import shapely
from draws import quick

from bladegeom.curves.curve import FloatArray
from bladegeom.design.script import load_script
from bladegeom.handle.section import section_at
from bladegeom.knife.grind import Plunge
from bladegeom.knife.knife import Knife
from bladegeom.mass.weigh import weigh
from bladegeom.watch.section_picture import section_picture, suggested_places
from bladegeom.watch.side_picture import side_picture, side_range

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
NAMES = ("galley_chef", "galley_petty", "kindling_knife", "rigging_knife", "traced_knife")
SVG = "{http://www.w3.org/2000/svg}"


@cache
def example(name: str) -> Knife:
    knife, _ = load_script(EXAMPLES / f"{name}.py").knife()
    return knife


def shapes(svg: str, kind: str) -> list[ET.Element]:
    return [each for each in ET.fromstring(svg) if kind in (each.get("class") or "").split()]


def numbers(text: str) -> FloatArray:
    return np.array([float(number) for number in re.findall(r"-?[0-9.]+", text)]).reshape(-1, 2)


def places(shape: ET.Element) -> FloatArray:
    """Corners of a polyline, or all control points of Beziers, y up."""
    return numbers(shape.get("d") or "") * (1.0, -1.0)


def bezier_points(control: FloatArray) -> FloatArray:
    """Points along cubic Beziers, by their definition."""
    t = np.linspace(0.0, 1.0, 60)[:, None]
    rows = [control[i : i + 4] for i in range(0, len(control) - 1, 3)]
    return np.concatenate(
        [(1 - t) ** 3 * a + 3 * t * (1 - t) ** 2 * b + 3 * t**2 * (1 - t) * c + t**3 * d for a, b, c, d in rows]
    )


@pytest.mark.parametrize("name", quick(NAMES, "rigging_knife", "kindling_knife"))
def test_the_side_view_shows_the_steel_and_every_hole_where_it_is(name: str) -> None:
    knife = example(name)
    svg = side_picture(knife, "Title & more")
    assert ET.fromstring(svg).findtext(f"{SVG}title") == "Title & more"
    (steel,) = shapes(svg, "steel")
    drawn = shapely.Polygon(bezier_points(places(steel)))
    x0, y0, x1, y1 = knife.outline.bounds
    assert drawn.bounds == pytest.approx((x0, y0, x1, y1), abs=0.01)
    assert drawn.area == pytest.approx(knife.outline.area, rel=1e-4)
    view = [float(number) for number in (ET.fromstring(svg).get("viewBox") or "").split()]
    assert (view[0], view[0] + view[2]) == pytest.approx(side_range(knife), abs=0.01)
    assert view[0] < x0 < x1 < view[0] + view[2]
    assert view[1] < -y1 < -y0 < view[1] + view[3]
    for purpose in ("fastener", "lightening", "lanyard"):
        wanted = sorted((hole.x, hole.y) for hole in knife.openings if hole.purpose == purpose)
        found = []
        for hole in shapes(svg, purpose):
            # Of a slot the middle of its box.
            box = (
                places(hole) if hole.get("d") else np.array([[float(hole.get("cx") or 0), -float(hole.get("cy") or 0)]])
            )
            found.append(tuple((box.min(axis=0) + box.max(axis=0)) / 2))
        assert np.array(sorted(found)) == pytest.approx(np.array(wanted), abs=0.05)
    (mark,) = [each for each in shapes(svg, "balance") if each.get("cx")]
    x, y, _ = weigh(knife).total.centre
    assert (float(mark.get("cx") or 0), -float(mark.get("cy") or 0)) == pytest.approx((x, y), abs=0.001)


def test_holes_that_the_scales_cover_are_hidden() -> None:
    knife = example("rigging_knife")
    light = sum(hole.purpose == "lightening" for hole in knife.openings)
    bare = dataclasses.replace(
        knife, scales=None, fasteners=(), holes=tuple(h for h in knife.holes if h.purpose == "lightening")
    )
    assert [len(shapes(side_picture(each, ""), "hidden")) for each in (knife, bare)] == [light, 0]
    assert light == len(shapes(side_picture(bare, ""), "lightening")) > 0


@pytest.mark.parametrize("name", quick(NAMES, "rigging_knife", "galley_petty"))
def test_the_ground_face_is_where_the_steel_is_thinner_than_the_bar(name: str) -> None:
    knife = example(name)
    flank = knife.grind.only or "right"
    (face,) = (shapely.Polygon(places(shape)) for shape in shapes(side_picture(knife, ""), "ground"))
    x0, y0, x1, y1 = knife.bevel_region.bounds
    rng = np.random.default_rng(1)
    x, y = rng.uniform((x0, y0), (x1, y1), (400, 2)).T
    # Near its border either will do, and behind the hollow of the plunge.
    clear = shapely.distance(face.exterior, shapely.points(x, y)) > 0.3
    inside = shapely.contains_xy(knife.bevel_region, x, y) & clear
    x, y = x[inside], y[inside]
    laws = knife.side("finished", flank).laws(x, y)
    ground = laws[1:].min(axis=0) < laws[0]
    assert ground.any()
    assert (shapely.contains_xy(face, x, y) == ground).all()


@pytest.mark.parametrize("lean_deg", [0.0, 12.0, -8.0])
def test_the_plunge_line_leans_as_declared(lean_deg: float) -> None:
    knife = example("rigging_knife")
    x = knife.grind.plunge.x
    grind = dataclasses.replace(knife.grind, plunge=Plunge(x=x, lean_deg=lean_deg))
    (line,) = shapes(side_picture(dataclasses.replace(knife, grind=grind, zones=()), ""), "plunge")
    drawn = places(line)
    (low_x, low_y), (high_x, high_y) = drawn[0].tolist(), drawn[-1].tolist()
    assert math.degrees(math.atan2(high_x - low_x, high_y - low_y)) == pytest.approx(lean_deg, abs=0.01)
    assert low_x == pytest.approx(x, abs=0.001)


def test_colours_and_scripts_are_left_to_the_page() -> None:
    svg = side_picture(dataclasses.replace(example("rigging_knife"), zones=()), '"><script>alert(1)</script>')
    assert "<script" not in svg
    assert not re.search(r"#[0-9a-f]{3}|style=|stroke=|fill=|href|url\(", svg)


def area(svg: str, kind: str) -> float:
    (shape,) = shapes(svg, kind)
    return float(shapely.Polygon(places(shape)).area)


def test_a_section_of_a_flat_grind_has_the_area_of_its_trapezoids() -> None:
    knife = example("rigging_knife")
    bevel, thick = knife.grind.faces[0], knife.stock.thickness
    section = section_picture(knife, 40.0)
    (steel,) = shapes(section.svg, "steel")
    high = float(np.ptp(places(steel)[:, 1]))
    ground = 17.0
    assert area(section.svg, "steel") == pytest.approx(
        ground * (bevel.edge_thickness + thick) / 2 + (high - ground) * thick, rel=1e-3
    )
    assert np.ptp(places(steel)[:, 0]) == pytest.approx(thick, abs=0.002)
    low = places(steel)[np.isclose(places(steel)[:, 1], 0.0)]
    assert np.ptp(low[:, 0]) == pytest.approx(bevel.edge_thickness, abs=0.002)


def test_a_section_that_is_ground_on_one_side_says_on_which() -> None:
    knife = example("rigging_knife")
    assert section_picture(knife, 40.0).said.endswith(" degrees a side")
    # The whole of the bar comes off one side. Source: atan of what is ground over the height of the bevel.
    chisel = dataclasses.replace(knife, grind=dataclasses.replace(knife.grind, only="left"), zones=())
    angle = math.degrees(math.atan((knife.stock.thickness - knife.grind.faces[0].edge_thickness) / 17.0))
    assert section_picture(chisel, 40.0).said.endswith(f", {angle:.2f} degrees on the left side")


@pytest.mark.parametrize("name", quick(NAMES, "galley_chef", "rigging_knife"))
def test_sections_are_where_they_are_asked_for_and_as_large_as_the_knife(name: str) -> None:
    knife = example(name)
    suggested = suggested_places(knife)
    assert list(suggested) == sorted(suggested)
    for x in suggested:
        section = section_picture(knife, x)
        assert section.x == x
        assert section.thickness
        assert section.said
        if x < 0:
            face = knife.scale_face
            assert face is not None
            measured = section_at(knife, face, x)
            (outer,) = shapes(section.svg, "scale")
            width, height = np.ptp(places(outer), axis=0).tolist()
            assert (width, height) == pytest.approx((measured.width, measured.height), abs=0.01)
            # The scale's border holds the tang, each of them closed.
            assert area(section.svg, "steel") < area(section.svg, "scale")


def test_a_place_outside_the_knife_shows_its_end() -> None:
    knife = example("rigging_knife")
    x0, _, x1, _ = knife.outline.bounds
    for x in (-1e6, x0, 0.0, 1.0, x1, 1e6):
        section = section_picture(knife, x)
        assert x0 <= section.x <= x1
        assert shapes(section.svg, "steel")


def test_the_bare_tang_and_the_ricasso_are_cut_upright() -> None:
    knife = dataclasses.replace(example("galley_petty"), scales=None, fasteners=(), zones=())
    for x in (-40.0, 2.0):
        upper, lower = (float(border[0]) for border in knife.outline.tang_height(np.array([x])))
        svg = section_picture(knife, x).svg
        assert area(svg, "steel") == pytest.approx((upper - lower) * knife.stock.thickness, rel=1e-3)
        assert not shapes(svg, "scale")
