"""Zones for texture and marks: where they lie, how deep they may go, what they take out, and what is found wrong."""

from __future__ import annotations

import dataclasses
import math
import re
from typing import Any

import numpy as np
import pytest
import shapely
from draws import draws, quick
from hypothesis import assume, given
from hypothesis import strategies as st
from refusals import assert_refused, assert_tells
from scipy.spatial import cKDTree
from specimens import bar_outline, chef, drop_point, ground

from bladegeom.checks.zones import check_zones
from bladegeom.drawing.drawing import Label
from bladegeom.grinding.thickness import thickness
from bladegeom.grinding.zones import PlacedZone, flat_region, placed_zones
from bladegeom.knife.bevels.flat import FlatBevel, FullFlat
from bladegeom.knife.finding import Finding
from bladegeom.knife.grind import Grind, Plunge
from bladegeom.knife.knife import Knife
from bladegeom.knife.stock import Stock
from bladegeom.knife.zone import MarkZone, TextureZone, Zone
from bladegeom.outline.outline import join_halves
from bladegeom.profiles import get
from bladegeom.quantities.errors import ParameterError
from bladegeom.sheets.zone_marks import zone_marks

PLUNGE = 10.0
"""Of the bar, mm: behind it lies the ricasso, from the handle front at x 0 on."""


def bar(*zones: Zone, taper: tuple[tuple[float, float], ...] = (), height: float = 18.0, **more: Any) -> Knife:
    """A bar 200 by 30 by 4 mm with its edge along y -30, ground 18 mm high ahead of x 10: flat from y -12 to 0."""
    knife = ground(bar_outline(heel=PLUNGE), height=height, zones=zones)
    grind = dataclasses.replace(knife.grind, **{name: more.pop(name) for name in ("only",) if name in more})
    return dataclasses.replace(knife, grind=grind, stock=Stock(steel="1084", thickness=4.0, taper=taper), **more)


def texture(start: float = 40.0, end: float = 140.0, depth: float = 0.5, **more: Any) -> TextureZone:
    return TextureZone(start=start, end=end, depth=depth, **more)


def mark(x: float = 5.0, y: float = -15.0, width: float = 6.0, height: float = 4.0, **more: Any) -> MarkZone:
    return MarkZone(x=x, y=y, width=width, height=height, text="HK", **more)


def only(knife: Knife) -> PlacedZone:
    (placed,) = placed_zones(knife)
    return placed


def found(knife: Knife, code: str) -> Finding:
    (finding,) = check_zones(knife)
    assert finding.code == code
    assert finding.source
    return finding


def test_flat_region_of_a_bar() -> None:
    # Source: closed form: 190 by 12 above the bevel, 10 by 30 of ricasso.
    for flank in ("right", "left"):
        assert flat_region(bar(), flank).area == pytest.approx(190.0 * 12.0 + 300.0, abs=190.0 * 1e-3)
    knife = bar(only="right")
    assert flat_region(knife, "left").area == pytest.approx(6000.0, abs=1e-6)
    assert flat_region(knife, "right").area == pytest.approx(2580.0, abs=0.2)


def test_flat_region_of_a_full_flat_blade_is_the_ricasso() -> None:
    knife = bar()
    knife = dataclasses.replace(knife, grind=dataclasses.replace(knife.grind, bevel=FullFlat(edge_thickness=0.3)))
    assert flat_region(knife, "right").area == pytest.approx(300.0, abs=1e-6)


def test_texture_on_a_bar() -> None:
    # Source: closed form: 100 by 12, less margins of 2 along grind line and spine; 0.5 deep over 0.6 of it at two
    # thirds of the depth on both faces, at 7.85 g/cm3.
    placed = only(bar(texture()))
    assert placed.area == pytest.approx(800.0, abs=0.1)
    assert placed.mass == pytest.approx(800.0 * 2 * 0.5 * 0.6 * 2 / 3 * 7.85e-3, rel=2e-4)
    assert placed.deepest == pytest.approx((4.0 - 2.0) / 2, abs=1e-9)
    x0, y0, x1, y1 = placed.region.bounds
    assert (x0, y0, x1, y1) == pytest.approx((40.0, -10.0, 140.0, -2.0), abs=1e-3)


@given(
    depth=st.floats(0.1, 1.5),
    least=st.floats(0.5, 3.0),
    share=st.floats(0.0, 1.0),
    mean=st.floats(0.1, 1.0),
    side=st.sampled_from(["both", "right", "left"]),
)
@draws(15)
def test_depth_and_mass_by_formula(depth: float, least: float, share: float, mean: float, side: Any) -> None:
    placed = only(bar(texture(depth=depth, least_thickness=least, share=share, mean_depth=mean, side=side)))
    faces = 2 if side == "both" else 1
    assert placed.deepest == pytest.approx((4.0 - least) / faces, abs=1e-9)
    assert placed.mass == pytest.approx(placed.area * faces * depth * share * mean * 7.85e-3, rel=1e-12)


def test_tapered_stock_limits_the_depth_where_it_is_thinnest() -> None:
    # Source: closed form: 4 - 2 x / 200 at the front end, x 140: 2.6 mm.
    placed = only(bar(texture(), taper=((0.0, 4.0), (200.0, 2.0))))
    assert placed.deepest == pytest.approx((2.6 - 2.0) / 2, abs=1e-6)
    assert placed.deepest_at is not None
    assert placed.deepest_at[0] == pytest.approx(140.0, abs=1e-6)


def test_a_texture_keeps_clear_of_plunge_and_handle_front() -> None:
    # From x -20 on: the front margin of 5 cuts it off at 5; 2 mm each side of the plunge line at 10 are left free,
    # and behind it the ricasso is flat down to 2 mm above the edge.
    placed = only(bar(texture(-20.0, 140.0)))
    behind, ahead = sorted(shapely.get_parts(placed.region), key=lambda part: part.bounds[0])
    assert behind.bounds == pytest.approx((5.0, -28.0, 8.0, -2.0), abs=1e-3)
    assert ahead.bounds == pytest.approx((12.0, -10.0, 140.0, -2.0), abs=1e-3)


def test_a_leaning_handle_front_takes_its_margin_square() -> None:
    knife = dataclasses.replace(bar(texture(-20.0, 8.0, margin=0.5)), front_lean_deg=20.0)
    (part,) = shapely.get_parts(only(knife).region)
    # The front runs from the origin down to the rear: 5 mm square to it at depth y lies x = 5 / cos 20 + y tan 20.
    lean = math.radians(20.0)
    x, y = np.array(part.exterior.coords).T
    assert (x - y * math.tan(lean)).min() == pytest.approx(5.0 / math.cos(lean), abs=1e-6)


def test_a_texture_leaves_room_for_marks_on_its_faces() -> None:
    # Source: closed form: the field of 10 by 4 and 2 mm all round, its corners round.
    hole = 10.0 * 4.0 + 2 * 2.0 * (10.0 + 4.0) + math.pi * 4.0
    on_right = mark(90.0, -6.0, 10.0, 4.0)
    for side, gone in (("both", hole), ("right", hole), ("left", 0.0)):
        placed, _ = placed_zones(bar(texture(side=side), on_right))
        # The field with its margin just fills the height of 8; chords of the round corners lack 1 %.
        assert 800.0 - placed.area == pytest.approx(gone, abs=0.2)


def grid(knife: Knife, step: float) -> tuple[Any, Any]:
    x0, y0, x1, y1 = knife.outline.bounds
    x, y = np.meshgrid(np.arange(max(x0, 0.0), x1, step) + step / 2, np.arange(y0, y1, step) + step / 2)
    inside = shapely.contains_xy(knife.outline.polygon, x.ravel(), y.ravel())
    return x.ravel()[inside], y.ravel()[inside]


CURVED = {
    "drop point": lambda zone: drop_point(zones=(zone,), height=12.0),
    "leaning plunge": lambda zone: drop_point(zones=(zone,), height=12.0, lean=15.0),
    "leaning back": lambda zone: drop_point(zones=(zone,), height=12.0, lean=-15.0),
    "chef": lambda zone: chef(zones=(zone,), height=20.0),
}


@pytest.mark.parametrize("name", quick(CURVED, "leaning plunge"))
def test_a_textured_region_against_a_grid(name: str) -> None:
    knife = CURVED[name](texture(15.0, 90.0, least_thickness=1.0))
    taper = ((0.0, knife.stock.thickness), (100.0, 0.6 * knife.stock.thickness))
    knife = dataclasses.replace(knife, stock=dataclasses.replace(knife.stock, taper=taper))
    placed = only(knife)
    step = 0.2
    x, y = grid(knife, step)
    side = knife.side("finished", "right")
    ground_there = side.height(x, y) < side.stock.half_thickness(x) - 1e-6
    away = cKDTree(np.stack([x, y], axis=1)[ground_there]).query(np.stack([x, y], axis=1))[0]
    border = shapely.distance(shapely.points(x, y), knife.outline.polygon.exterior)
    line = shapely.LineString([knife.plunge_line.start, knife.plunge_line.end])
    plunge = shapely.distance(shapely.points(x, y), line)
    free = (away > 2.0) & (border > 2.0) & (plunge > 2.0) & (x > 15.0) & (x < 90.0)
    # Half a cell is uncertain all round, and crumbs under 4 mm2 are left out.
    uncertain = step / 2 * shapely.boundary(placed.region).length + 4.0
    assert placed.area == pytest.approx(free.sum() * step**2, abs=uncertain)
    in_region = shapely.contains_xy(placed.region.buffer(-step), x, y)
    assert in_region.sum() > 500
    assert free[in_region].all()
    left = thickness(knife, "finished", x, y)[shapely.contains_xy(placed.region, x, y)]
    # The stock thins by 0.4 T over 100 mm: within a cell by 0.006 of it.
    assert placed.deepest == pytest.approx((left.min() - 1.0) / 2, abs=0.01)


def test_a_texture_on_one_face_counts_the_other() -> None:
    # Source: closed form: 4 mm less 1.5 on the far side leave 0.5 above the 2 asked for; where both lie, x 100 to 120.
    right, left = texture(40.0, 120.0, 0.4, side="right"), texture(100.0, 160.0, 1.5, side="left")
    first, second = placed_zones(bar(right, left))
    assert first.deepest == pytest.approx(4.0 - 1.5 - 2.0, abs=1e-9)
    assert first.deepest_at is not None
    assert 100.0 - 1e-6 <= first.deepest_at[0] <= 120.0 + 1e-6
    assert second.deepest == pytest.approx(4.0 - 0.4 - 2.0, abs=1e-9)
    assert not list(check_zones(bar(right, left)))
    deep = found_codes(bar(dataclasses.replace(right, depth=0.6), left))
    assert deep == ["texture-too-deep", "texture-too-deep"]


def found_codes(knife: Knife) -> list[str]:
    return [finding.code for finding in check_zones(knife)]


def test_a_texture_behind_one_sided_bevel_is_limited_by_it() -> None:
    # The left face is flat to the edge; 2 mm above it stand 0.5 + 3.5 x 2/18 mm.
    placed = only(bar(texture(side="left"), only="right"))
    assert placed.region.bounds == pytest.approx((40.0, -28.0, 140.0, -2.0), abs=1e-3)
    assert placed.deepest == pytest.approx(0.5 + 3.5 * 2 / 18.0 - 2.0, abs=1e-3)


CLEAN: tuple[Knife, ...] = (
    bar(texture()),
    bar(mark()),
    bar(texture(side="left"), mark(side="left"), mark()),
    bar(mark(90.0, -6.0, 10.0, 4.0), texture()),
    bar(mark(30.0, -15.0, 20.0, 20.0, side="left"), only="right"),
    drop_point(zones=(mark(30.0, -5.0, 12.0, 5.0), texture(45.0, 80.0, 0.3)), height=14.0),
)


@pytest.mark.parametrize("knife", CLEAN, ids=range(len(CLEAN)))
def test_clean(knife: Knife) -> None:
    assert list(check_zones(knife)) == []


def test_mark_off_the_flat() -> None:
    # A field of 10 by 6 centred on the grind line: half of it lies on the bevel.
    finding = found(bar(mark(90.0, -12.0, 10.0, 6.0)), "mark-off-flat")
    assert finding.severity == "error"
    assert finding.measured == pytest.approx(30.0, abs=0.05)
    assert finding.x == pytest.approx(90.0, abs=5.0)
    assert finding.y is not None
    assert -15.0 <= finding.y <= -12.0
    assert re.fullmatch(
        r"the mark 'HK', 10\.00 mm \(0\.394 in\) by 6\.00 mm \(0\.236 in\), does not lie on flat steel at "
        r"\(90\.00, -13\.50\): 30\.0 mm2 of its field are off; move it, or make it smaller",
        finding.message,
    )


@pytest.mark.parametrize(("text", "width", "height"), [("Hand made by K", 6.0, 4.0), ("HK", 6.0, 1.5)])
def test_mark_text_that_would_be_too_small(text: str, width: float, height: float) -> None:
    field = MarkZone(x=5.0, y=-15.0, width=width, height=height, text=text)
    finding = found(bar(field), "mark-text-too-small")
    assert finding.severity == "warning"
    assert f"the text {text!r} would have to be smaller than 1.20 mm (0.047 in)" in finding.message
    needs = re.search(r"it needs (\d+\.\d+) mm \(.*?\) by (\d+\.\d+) mm", finding.message)
    assert needs
    # A field of that size, a rounding larger, is good, and the template shows the text.
    larger = dataclasses.replace(field, width=float(needs[1]) + 0.01, height=float(needs[2]) + 0.01)
    knife = bar(dataclasses.replace(larger, x=larger.width), height=10.0)
    assert "mark-text-too-small" not in found_codes(knife)
    assert [item.text for item in zone_marks(knife) if isinstance(item, Label)] == [text]


@draws(40)
@given(text=st.text(min_size=1, max_size=12), width=st.floats(1.0, 40.0), side=st.sampled_from(["right", "left"]))
def test_no_text_is_left_out_without_a_word(text: str, width: float, side: Any) -> None:
    assume(text.strip())
    knife = bar(MarkZone(x=60.0, y=-6.0, width=width, height=4.0, text=text, side=side))
    shown = any(isinstance(item, Label) for item in zone_marks(knife))
    assert shown or "mark-text-too-small" in found_codes(knife)


def test_mark_off_the_steel() -> None:
    finding = found(bar(mark(90.0, -1.0, 10.0, 4.0)), "mark-off-flat")
    assert finding.measured == pytest.approx(10.0, abs=1e-6)


@pytest.mark.parametrize("lean", [0.0, 20.0, -20.0])
def test_mark_under_the_scale(lean: float) -> None:
    # The front leans from the origin: at y -15 it stands at -15 tan. The field of 4 by 4 starts 1 mm behind it.
    front = -15.0 * math.tan(math.radians(lean))
    knife = dataclasses.replace(bar(mark(front + 1.0, width=4.0)), front_lean_deg=lean)
    finding = found(knife, "zone-under-scale")
    assert finding.severity == "error"
    assert "runs under the scale" in finding.message
    # Source: closed form: a strip 1 mm wide on average and 4 high.
    assert finding.measured == pytest.approx(4.0, abs=0.01)


def test_mark_beside_the_scale_of_a_leaning_front() -> None:
    # Leaning to the tip below, the front stands at x 5.5 at y -15: the field behind it is under the scale though x > 0.
    knife = dataclasses.replace(bar(mark(5.0)), front_lean_deg=-20.0)
    front = 15.0 * math.tan(math.radians(20.0))
    assert found(knife, "zone-under-scale").measured == pytest.approx(4.0 * (front - 2.0), abs=1e-6)


def test_texture_with_no_room() -> None:
    finding = found(bar(texture(), height=27.0), "texture-no-room")
    assert (finding.severity, finding.measured, finding.x) == ("error", 0.0, 40.0)
    assert_tells(finding.message, "140.00 mm")


def test_texture_too_deep() -> None:
    knife = bar(texture(depth=0.5, least_thickness=2.2), taper=((0.0, 4.0), (200.0, 2.0)))
    finding = found(knife, "texture-too-deep")
    assert finding.severity == "error"
    # Source: closed form: 2.6 mm at x 140, less 2.2, half of that a face.
    assert (finding.measured, finding.limit) == pytest.approx((0.5, 0.2), abs=1e-6)
    assert finding.x == pytest.approx(140.0, abs=1e-6)
    assert "leave less than 2.20 mm (0.087 in) of steel at (140.00, " in finding.message
    assert finding.message.endswith("no deeper than 0.20 mm (0.008 in) there")
    # As deep as that it is good.
    assert not list(check_zones(dataclasses.replace(knife, zones=(texture(depth=0.2, least_thickness=2.2),))))


def test_texture_declared_under_the_scale() -> None:
    finding = found(bar(texture(-20.0)), "zone-under-scale")
    assert (finding.severity, finding.measured, finding.x) == ("warning", -20.0, -20.0)
    assert finding.limit == pytest.approx(5.0)
    assert_tells(finding.message, "-20.00 mm", "5.00 mm")


def test_overlapping_marks() -> None:
    one, other = mark(60.0, -6.0, 12.0, 4.0), mark(70.0, -6.0, 12.0, 4.0)
    finding = found(bar(one, other), "zones-overlap")
    # Source: closed form: 2 mm of 4 mm height, in the middle between them.
    assert finding.severity == "error"
    assert finding.measured == pytest.approx(8.0)
    assert (finding.x, finding.y) == pytest.approx((65.0, -6.0))
    assert_tells(finding.message, "8.0 mm2", "65.00", "-6.00")
    assert not list(check_zones(bar(one, dataclasses.replace(other, side="left"))))
    assert not list(check_zones(bar(one, dataclasses.replace(other, x=72.01))))


def test_overlapping_textures() -> None:
    finding = found(bar(texture(20.0, 80.0), texture(70.0, 120.0, side="left")), "zones-overlap")
    assert finding.measured == pytest.approx(80.0, abs=0.1)


@pytest.mark.parametrize(
    ("make", "told"),
    [
        (lambda: texture(50.0, 40.0), "texture zone: end | 50 mm"),
        (lambda: texture(depth=0.0), "texture zone: depth | 0"),
        (lambda: texture(least_thickness=0.0), "texture zone: least_thickness | 0"),
        (lambda: texture(margin=-1.0), "texture zone: margin | 0"),
        (lambda: texture(share=1.1), "texture zone: share | 0 | 1"),
        (lambda: texture(start=math.nan), "texture zone: start"),
        (lambda: texture(side="up"), "texture zone: side | 'both'"),
        (lambda: mark(side="both"), "mark zone: side | 'right' | 'left'"),
        (lambda: mark(width=0.0), "mark zone: width | 0"),
        (
            lambda: MarkZone(x=5.0, y=-15.0, width=6.0, height=4.0, text="  "),
            "mark zone: text",
        ),
    ],
)
def test_refused(make: Any, told: str) -> None:
    with pytest.raises(ParameterError) as caught:
        make()
    assert_refused(caught.value, told)


def test_no_zones_no_findings() -> None:
    assert placed_zones(bar()) == ()
    grind = Grind(bevel=FlatBevel(height=18.0, edge_thickness=0.5), plunge=Plunge(x=PLUNGE))
    assert list(check_zones(dataclasses.replace(bar(), grind=grind))) == []


def test_a_border_with_two_places_that_differ_by_rounding_is_drawn() -> None:
    # The texture's border meets the leaning plunge line in two places 2e-13 mm apart.
    blade = get("chopper")(
        blade_length=281.012557985428,
        height=46.0,
        depth=13.0,
        front_height=23.15422235043473,
        heel=30.0,
        choil_radius=8.0,
        tip_drop=16.0,
        spine_straight=0.3806154229214682,
        deep_at=0.7187275403543405,
    )
    outline = join_halves(blade, get("swelled")())
    zone = TextureZone(start=30.0, end=70.0, depth=2.0, side="left")
    knife = ground(outline, thickness=3.175, height=24.435463471991465, edge=0.0, plunge=31.0, lean=30.0, zones=(zone,))
    knife = dataclasses.replace(knife, grind=dataclasses.replace(knife.grind, rough_edge=0.6))
    assert [item for item in zone_marks(knife) if not isinstance(item, Label)]
