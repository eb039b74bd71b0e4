"""The grind sheet on paper: what stands on it, that it fits, and that sections and gauges are true."""

from __future__ import annotations

import dataclasses
import itertools
import math
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
import shapely
from draws import quick
from specimens import bar_outline, chef, drop_point, ground, petty

from bladegeom.curves.curve import Curve
from bladegeom.curves.flatten import flatten
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Label, Path, Sheet
from bladegeom.drawing.ruler import MARGIN
from bladegeom.drawing.table import table_items
from bladegeom.grinding.grind_sheet import GrindSheet
from bladegeom.grinding.station import Station
from bladegeom.grinding.thickness import thickness
from bladegeom.knife.bevels.face import Face
from bladegeom.knife.bevels.flat import AngledBevel, FlatBevel, FullFlat
from bladegeom.knife.bevels.round import ConvexEdge, HollowBevel
from bladegeom.knife.grind import Grind, Plunge
from bladegeom.knife.knife import Knife
from bladegeom.knife.revision_id import revision_id
from bladegeom.knife.stock import Stock
from bladegeom.mass.weigh import weigh
from bladegeom.outline.halves import BladeProfile, HandleProfile
from bladegeom.outline.outline import join_halves
from bladegeom.profiles import get
from bladegeom.quantities.papers import paper
from bladegeom.quantities.units import show_both, show_mm
from bladegeom.sheets.gauge import CARD, TOLERANCE, card_outline, gauges
from bladegeom.sheets.grind_pages import grind_pages, settings
from bladegeom.sheets.section import blade_section

A4, LETTER = paper("A4"), paper("Letter")

FLAT = FlatBevel(height=17.0, edge_thickness=0.5)
FULL = FullFlat(edge_thickness=0.3)


def made(knife: Knife, bevel: Face | tuple[Face, ...], *taper: tuple[float, float], **more: Any) -> Knife:
    plunge = {name: more.pop(name) for name in ("lean_deg", "radius") if name in more}
    grind = Grind(bevel=bevel, plunge=Plunge(x=knife.outline.heel[0], **plunge), **more)
    return dataclasses.replace(knife, grind=grind, stock=dataclasses.replace(knife.stock, taper=taper))


def long_chef() -> Knife:
    blade, handle = get("chef")(blade_length=300.0, height=58.0), get("birds_head")()
    assert isinstance(blade, BladeProfile)
    assert isinstance(handle, HandleProfile)
    knife = ground(join_halves(blade, handle), thickness=2.5, height=40.0, edge=0.3)
    bevel = ConvexEdge(under=FULL, height=3.0, edge_thickness=0.2, bulge=0.008)
    return made(knife, bevel, (20.0, 2.5), (300.0, 1.2), rough_edge=0.6)


KNIVES = {
    "flat tapered": made(drop_point(), FLAT, (9.5, 4.0), (110.0, 2.0), radius=5.0, rough_edge=0.8),
    "hollow": made(
        drop_point(), HollowBevel(wheel_diameter=254.0, height=17.0, edge_thickness=0.6), lean_deg=15.0, rough_edge=0.8
    ),
    "chef full flat": made(chef(), FULL, (20.0, 2.5), (225.0, 1.2), rough_edge=0.6),
    "one side": made(petty(thickness=3.0), AngledBevel(angle_deg=14.0, edge_thickness=0.2), only="left"),
    "compound": made(drop_point(), (FLAT, AngledBevel(angle_deg=11.0)), rough_edge=0.8),
    "300 mm": long_chef(),
    "leaning back": made(drop_point(), FLAT, (9.5, 4.0), (110.0, 2.0), only="right", lean_deg=-12.0),
    "two zero edges": made(
        drop_point(), (FlatBevel(height=17.0, edge_thickness=0.0), AngledBevel(angle_deg=12.0, edge_thickness=0.0))
    ),
    "tall": ground(bar_outline(height=75.0, blade=220.0), thickness=6.0, height=30.0),
    "tiny": ground(bar_outline(height=14.0, blade=45.0, heel=6.0), thickness=1.6, height=8.0, edge=0.2),
    "long name": dataclasses.replace(drop_point(), name="A rigging knife for the second mate, with his initials on it"),
}


MOST = ("flat tapered", "hollow", "one side", "compound", "two zero edges", "tiny")
"""What the quick suite lays out; a long or a tall blade and a long name in the long one."""

LETTERS = (("300 mm", LETTER), ("hollow", LETTER))


@pytest.fixture(
    scope="module",
    params=quick([*((name, A4) for name in KNIVES), *LETTERS], *((name, A4) for name in MOST), ("hollow", LETTER)),
    ids=lambda written: f"{written[0]} {written[1].name}",
)
def pages(request: pytest.FixtureRequest) -> tuple[Knife, tuple[Sheet, ...]]:
    name, specimen = request.param
    knife = KNIVES[name]
    return knife, grind_pages(Design(knife), (specimen,), remarks=("For the galley",))


Pages = tuple[Knife, tuple[Sheet, ...]]


def labels(sheet: Sheet) -> list[Label]:
    return [item for item in sheet.drawing.items if isinstance(item, Label)]


def clashes(sheet: Sheet) -> list[tuple[str, str]]:
    """Pairs of texts of which the boxes overlap by more than 0.1 mm."""
    texts = labels(sheet)
    boxes = [shapely.Polygon(label.corners).buffer(-0.05) for label in texts]
    pairs = shapely.STRtree(boxes).query(boxes, predicate="intersects").T.tolist()
    return [(texts[a].text, texts[b].text) for a, b in pairs if a < b]


def words(sheets: tuple[Sheet, ...]) -> list[str]:
    return [label.text for sheet in sheets for label in labels(sheet)]


def test_pages_keep_within_what_a_printer_reaches(pages: Pages) -> None:
    for sheet in pages[1]:
        x0, y0, x1, y1 = sheet.drawing.bounds
        assert min(x0, y0) >= MARGIN - 1e-6
        assert x1 <= sheet.width - MARGIN + 1e-6
        assert y1 <= sheet.height - MARGIN + 1e-6


def test_texts_keep_off_each_other(pages: Pages) -> None:
    for sheet in pages[1]:
        assert clashes(sheet) == []


def test_every_page_names_knife_and_revision(pages: Pages) -> None:
    knife, sheets = pages
    assert len(sheets) >= 4
    for sheet in sheets:
        text = " ".join(label.text for label in labels(sheet))
        assert f"{knife.name}, revision {knife.revision}" in text
        assert f"page {sheets.index(sheet) + 1} of {len(sheets)}" in text
        assert "For the galley" in text
        assert "Print at 100 %" in text


def test_no_station_is_dropped(pages: Pages) -> None:
    knife, sheets = pages
    sheet = GrindSheet(knife)
    told = words(sheets)
    for i, station in enumerate(sheet.stations):
        # Its x in the table of stations and in that of each stage; under its section; its number on the view.
        assert told.count(show_mm(station.x)) >= 1 + len(sheet.stages)
        assert told.count(f"x {show_mm(station.x)}") == 1
        assert told.count(f"{i + 1}") >= 3 + len(sheet.stages)


def test_thicknesses_are_told_in_mm_and_inch(pages: Pages) -> None:
    knife, sheets = pages
    told = set(words(sheets))
    sheet = GrindSheet(knife)
    for stage in sheet.stages:
        for value in sheet.thickness(stage)[:, 0].tolist():
            assert show_both(value) in told


@pytest.mark.long
def test_a_blade_of_300_mm_with_stations_of_10_mm() -> None:
    knife = KNIVES["300 mm"]
    sheets = grind_pages(Design(knife), (A4,), step=10.0)
    told = words(sheets)
    assert all(f"x {show_mm(station.x)}" in told for station in GrindSheet(knife, step=10.0).stations)
    assert len(GrindSheet(knife, step=10.0).stations) >= 28
    assert [clashes(sheet) for sheet in sheets] == [[]] * len(sheets)


def test_a_long_blade_is_drawn_at_half_size_and_says_so() -> None:
    for name, half in (("300 mm", True), ("chef full flat", False)):
        sheets = grind_pages(Design(KNIVES[name]), (A4,))
        assert ("blade drawn at half size" in words(sheets)) == half
        outline = KNIVES[name].outline
        # The straight cut of the handle front is drawn from the spine to the choil.
        lines = [item.curve for item in sheets[0].drawing.items if isinstance(item, Path) and item.layer == "MARK"]
        size = 0.5 if half else 1.0
        assert any(
            math.dist(curve.start, curve.end) == pytest.approx(-size * outline.front_bottom[1], abs=0.01)
            for curve in lines
        )


def test_settings_of_a_flat_bevel() -> None:
    # Source: closed forms: atan(1.35 / 18) = 4.29 deg, 100 x 1.35 / 18 = 7.5; scribe (3.2 - e) / 2.
    knife = made(ground(bar_outline(), thickness=3.2), FlatBevel(height=18.0, edge_thickness=0.5), rough_edge=0.8)
    lines = settings(GrindSheet(knife))
    assert lines[0] == "Bevel: flat, height 18.00 mm (0.709 in), edge thickness 0.50 mm (0.020 in)."
    assert lines[1] == (
        "At station 1, from edge to grind line: 4.29 degrees a side, 8.58 included. Jig wedge: 7.50 mm rise per 100 mm."
    )
    assert "Plunge line at x 0.00 mm, upright, a sharp step." in lines
    assert (
        "Scribe on the edge of the blank, ground before hardening: 1.20 mm (0.047 in) from each face; "
        "0.80 mm (0.031 in) stays." in lines
    )
    assert (
        "Scribe on the edge of the blank, ground to size: 1.35 mm (0.053 in) from each face; "
        "0.50 mm (0.020 in) stays." in lines
    )
    weighed = weigh(knife)
    grams = [weighed.stage(stage).amount * 7.85e-3 for stage in ("blank", "rough", "finished", "sharp")]
    assert (
        f"The steel weighs: blank {grams[0]:.1f} g, ground before hardening {grams[1]:.1f} g, "
        f"ground to size {grams[2]:.1f} g, sharpened {grams[3]:.1f} g." in lines
    )


@pytest.mark.parametrize(
    ("name", "line"),
    [
        (
            "hollow",
            "Bevel: hollow, wheel diameter 254.00 mm (10 in), height 17.00 mm (0.669 in), edge thickness 0.60 mm",
        ),
        ("hollow", "Plunge line at x 9.50 mm, leaning 15 degrees to the tip, a sharp step."),
        ("flat tapered", "Plunge line at x 9.50 mm, upright, radius 5.00 mm (0.197 in)."),
        ("one side", "Bevel, on the left side only: flat at an angle, angle 14 degrees, edge thickness 0.20 mm"),
        ("one side", "At station 1, from edge to grind line: 14 degrees on the left side. Jig"),
        ("one side", "Sharpened facet at 18 degrees on the left side: "),
        ("one side", "Scribe on the edge of the blank, ground to size: 2.80 mm (0.110 in) from the left face; 0.20 mm"),
        ("compound", "Scribe on the edge of the blank, ground to size, for the first face: 1.75 mm"),
        (
            "flat tapered",
            "Stock 4.00 mm (0.157 in), tapered: 4.00 mm (0.157 in) at x 9.50, 2.00 mm (0.079 in) at x 110.00;",
        ),
        ("leaning back", "Plunge line at x 9.50 mm, leaning 12 degrees to the butt, a sharp step."),
        ("leaning back", "One side alone on tapered stock: these distances hold at the heel only; ground to size they"),
        ("chef full flat", "At station 1, from edge to spine: "),
        (
            "compound",
            "Then below it: flat at an angle, angle 11 degrees, edge thickness 0.00 mm (0.000 in); 11 degrees",
        ),
        ("compound", "Sharpened at 18 degrees a side: no facet, the face below it comes to a point by itself."),
    ],
)
def test_settings(name: str, line: str) -> None:
    assert any(text.startswith(line) for text in settings(GrindSheet(KNIVES[name])))


def test_a_full_flat_bevel_has_no_line_for_a_jig_to_move() -> None:
    unground = made(chef(), FULL, (20.0, 2.5), (225.0, 1.2))
    assert not any("do not trust the jig" in text for text in settings(GrindSheet(unground)))
    # Before hardening it ends below the spine, on a line that a jig does move.
    assert any("do not trust the jig" in text for text in settings(GrindSheet(KNIVES["chef full flat"])))
    # No jig gives a hollow its angle; its chord moves the line all the same.
    assert any("A chord 0.5 degrees off" in text for text in settings(GrindSheet(KNIVES["hollow"])))


def test_a_wedge_is_told_where_it_holds() -> None:
    # Source: closed form: on a bar the angle is the same all along; on a taper it follows the thickness.
    assert not any("Jig wedge at station 1 only" in text for text in settings(GrindSheet(KNIVES["one side"])))
    assert any("Jig wedge at station 1 only" in text for text in settings(GrindSheet(KNIVES["flat tapered"])))
    hollow = settings(GrindSheet(KNIVES["hollow"]))
    assert not any("Jig wedge" in text for text in hollow)
    assert "included (chord)." in hollow[1]
    assert "chord angle a side" in words(grind_pages(Design(KNIVES["hollow"]), (A4,)))


@pytest.mark.parametrize(("edge", "steeper"), [(0.0, 0.0), (0.3, 0.6)])
def test_a_face_that_never_shows_is_left_out(edge: float, steeper: float) -> None:
    faces = (FlatBevel(height=17.0, edge_thickness=edge), AngledBevel(angle_deg=12.0, edge_thickness=steeper))
    lines = settings(GrindSheet(made(drop_point(), faces)))
    assert not any("12 degrees" in text or "first face" in text for text in lines)
    assert any(f"{edge:.2f} mm" in text and text.startswith("Scribe") for text in lines)


def test_no_minus_stands_before_a_zero(pages: Pages) -> None:
    assert not any("-0.00" in text for text in words(pages[1]))


def area(curve: Curve) -> float:
    return float(shapely.Polygon(flatten(curve, 1e-4)).area)


@pytest.mark.parametrize("name", quick(KNIVES, *MOST))
def test_a_section_has_the_area_of_its_thicknesses(name: str) -> None:
    knife = KNIVES[name]
    for station in GrindSheet(knife).stations:
        for stage in ("rough", "finished", "sharp"):
            d = (np.arange(4000) + 0.5) / 4000 * station.reach
            expected = thickness(knife, stage, *station.place(d)).mean() * station.reach
            assert area(blade_section(knife, station, stage)) == pytest.approx(expected, rel=2e-4)


def test_a_section_of_a_flat_bevel_is_a_trapezoid_under_a_rectangle() -> None:
    # Source: closed form, T (W - H) + H (T + e) / 2; edge down, right face to the right.
    knife = ground(bar_outline(), thickness=3.2, height=18.0, edge=0.5)
    station = GrindSheet(knife).stations[1]
    curve = blade_section(knife, station, "finished")
    assert area(curve) == pytest.approx(3.2 * 12.0 + 18.0 * 3.7 / 2, rel=1e-6)
    x, y = flatten(curve, 0.001).T
    assert (x.min(), x.max(), y.min(), y.max()) == pytest.approx((-1.6, 1.6, 0.0, 30.0), abs=1e-6)
    low = blade_section(knife, station, "finished", up_to=9.0)
    assert area(low) == pytest.approx(9.0 * (0.5 + 1.85) / 2, rel=1e-6)


def test_a_one_sided_section_leans_to_its_ground_face() -> None:
    for only, sign in (("right", 1.0), ("left", -1.0)):
        knife = made(ground(bar_outline()), FlatBevel(height=18.0, edge_thickness=0.5), only=only)
        x, y = flatten(blade_section(knife, GrindSheet(knife).stations[0], "finished"), 0.001).T
        # The edge lies in the face that is left flat.
        edge = sorted(sign * x[y < 1e-9])
        assert (edge[0], edge[-1]) == pytest.approx((-2.0, -1.5), abs=1e-6)


def notch(knife: Knife, station: Station, *, go: bool) -> npt.NDArray[np.float64]:
    """Left and right side of a card's notch at heights over its bottom: rows of height, left, right, mm."""
    width, below = CARD
    points = flatten(card_outline(knife, station, go=go), 1e-4)
    inside = points[(points[:, 0] > 0.5) & (points[:, 0] < width - 0.5) & (points[:, 1] > below - 1e-9)]
    lowest = inside[:, 1].min()
    bottom = int(np.flatnonzero(inside[:, 1] < lowest + 1e-9)[0])
    right, left = inside[: bottom + 1][::-1], inside[bottom:]
    height = np.linspace(lowest - below, inside[:, 1].max() - below, 60)
    return np.stack(
        [
            height,
            np.interp(height, left[:, 1] - below, left[:, 0] - width / 2),
            np.interp(height, right[:, 1] - below, right[:, 0] - width / 2),
        ],
        axis=1,
    )


@pytest.mark.parametrize("name", quick(KNIVES, *MOST))
def test_gauges(name: str) -> None:
    knife = KNIVES[name]
    sheet = GrindSheet(knife)
    for station in (sheet.stations[0], sheet.stations[len(sheet.stations) // 2]):
        for go, allow in ((True, TOLERANCE), (False, -TOLERANCE)):
            rows = notch(knife, station, go=go)
            height, left, right = rows.T
            deep = station.reach if station.grind_line is None else min(station.grind_line, station.reach)
            assert height[-1] == pytest.approx(deep, abs=1e-6)
            assert height[0] == pytest.approx(0.0, abs=1e-6) or not go
            x, y = station.place(height)
            blade_right = knife.side("finished", "right").height(x, y)
            blade_left = -knife.side("finished", "left").height(x, y)
            # Where the blade is thinner than twice the allowance the no-go notch has closed to a point.
            open_there = blade_right - blade_left > 2 * TOLERANCE + 0.1
            assert open_there.sum() > 20
            np.testing.assert_allclose((right - blade_right)[open_there], allow, atol=0.005)
            np.testing.assert_allclose((blade_left - left)[open_there], allow, atol=0.005)
            assert (right >= left - 1e-9).all()


@pytest.mark.parametrize("name", quick(KNIVES, *MOST))
def test_a_card_is_one_simple_ring_with_its_words_inside(name: str) -> None:
    knife = KNIVES[name]
    mark = f"{knife.name}, {revision_id(knife)}"
    sheet = GrindSheet(knife)
    for grind_sheet, state in (
        (sheet, "ground to size"),
        *((earlier_stage.sheet, earlier_stage.before) for earlier_stage in sheet.earlier),
    ):
        items = list(gauges(grind_sheet, state, mark))
        starts = [i for i, item in enumerate(items) if isinstance(item, Path)]
        assert len(starts) in (2, 4)
        for start, end in itertools.pairwise((*starts, len(items))):
            card, words = items[start], [item for item in items[start + 1 : end] if isinstance(item, Label)]
            assert isinstance(card, Path)
            assert (card.layer, card.closed) == ("CUT", True)
            ring = shapely.Polygon(flatten(card.curve, 1e-3))
            assert ring.is_valid
            assert all(ring.contains(shapely.Polygon(item.corners)) for item in words)
            assert [item.text for item in words[1:4:2]] == [state, mark]
            assert words[2].text.startswith("notch ")
            # Small letters still print: common practice, no source.
            assert min(item.height for item in words[:3]) >= 1.2


def test_table_keeps_its_columns_apart() -> None:
    rows = [["station", "x", "a long heading"], ["1", "12.5", "4.00 (0.157)"], ["12", "110.0", "-"]]
    items, low = table_items(rows, 10.0, 50.0, title="Ground to size")
    texts = [item for item in items if isinstance(item, Label)]
    assert {item.text for item in texts} == {"Ground to size", *(cell for row in rows for cell in row)}
    boxes = [shapely.Polygon(item.corners) for item in texts]
    assert not any(a.intersects(b) for a, b in itertools.combinations(boxes, 2))
    union = shapely.union_all(boxes).bounds
    assert union[0] >= 10.0
    assert union[3] <= 50.0
    assert union[1] >= low


def test_stock_is_told_where_it_tapers() -> None:
    knife = dataclasses.replace(
        drop_point(), stock=Stock(steel="1084", thickness=4.0, taper=((10.0, 4.0), (110.0, 2.0)))
    )
    told = words(grind_pages(Design(knife), (A4,)))
    for x in (25.0, 50.0, 75.0):
        t = 4.0 - 2.0 * (x - 10.0) / 100.0
        assert f"{t:.2f} ({t / 25.4:.3f})" in told
