"""Every number of a step or a block of the grind sheet belongs to its own stage; and what each face leaves."""

from __future__ import annotations

import dataclasses
import math
from typing import Any

import numpy as np
import pytest
from specimens import bar_outline, drop_point, ground
from told_grind import lines_told, tables

from bladegeom.book.grind_numbers import GrindNumbers
from bladegeom.book.grind_pages import grind_pages
from bladegeom.book.grind_settings import settings
from bladegeom.book.grind_view import GrindView
from bladegeom.design.design import Design
from bladegeom.design.report import report
from bladegeom.drawing.drawing import Label, Path
from bladegeom.grinding.grind_line import grind_line
from bladegeom.grinding.grind_sheet import GrindSheet
from bladegeom.grinding.grind_summary import grind_summary
from bladegeom.knife.bevels.face import Face
from bladegeom.knife.bevels.flat import AngledBevel, FlatBevel
from bladegeom.knife.bevels.round import ConvexEdge, HollowBevel
from bladegeom.knife.grind import Grind, Plunge
from bladegeom.knife.knife import Knife
from bladegeom.knife.revision_id import revision_id
from bladegeom.order.measures import measure
from bladegeom.quantities.papers import paper
from bladegeom.quantities.shown import scribed_length
from bladegeom.sheets.template import template_drawing
from bladegeom.workshop.operation import Operation
from bladegeom.workshop.route import route
from bladegeom.workshop.soft_work import EVEN, edges
from bladegeom.writers.report_text import as_text

T, HIGH, EDGE, ROUGH = 3.5, 17.0, 0.4, 0.8
SLOPE = (T - EDGE) / 2 / HIGH
"""Stock, bevel height, edge and rough edge of what `bladegeom new` writes, mm; and the tangent of its bevel's angle."""

FLAT = FlatBevel(height=HIGH, edge_thickness=EDGE)
CONVEX = ConvexEdge(under=FLAT, height=4.0, edge_thickness=0.15, bulge=0.02)


def made(bevel: Face | tuple[Face, ...] = FLAT, *, rough: float | None = ROUGH, **more: Any) -> Knife:
    knife = drop_point(thickness=T)
    plunge = Plunge(x=knife.outline.heel[0], radius=3.0, lean_deg=4.0)
    return dataclasses.replace(knife, grind=Grind(bevel=bevel, plunge=plunge, rough_edge=rough, **more))


def step(knife: Knife, key: str) -> Operation:
    (operation,) = (candidate for candidate in route(knife).operations if candidate.key == key)
    return operation


def value(operation: Operation, what: str) -> float:
    (found,) = (number.value for number in (*operation.numbers, *operation.blanks) if number.what.startswith(what))
    assert found is not None
    return found


# Source: closed form, (T - e) / 2 / tan a from an edge e to the grind line; a jig off by half a degree changes a.
LINE = {stage: (T - e) / 2 / SLOPE for stage, e in (("rough", ROUGH), ("finished", EDGE))}
TILTED = {
    stage: [(T - e) / 2 / math.tan(math.atan(SLOPE) + math.radians(by)) for by in (-0.5, 0.5)]
    for stage, e in (("rough", ROUGH), ("finished", EDGE))
}


def test_the_closed_form_is_that_of_the_bench() -> None:
    # As worked by hand for the starter: 13.50 and 16.39 mm before hardening, 15.50 and 18.81 mm ground to size.
    assert [*TILTED["rough"], *TILTED["finished"]] == pytest.approx([16.39, 13.50, 18.81, 15.50], abs=0.006)


def test_the_rough_step_tells_rough_numbers() -> None:
    operation = step(made(), "rough_grind")
    lines = [number.value for number in operation.numbers if number.what.startswith("rough grind line at x")]
    assert lines == pytest.approx([LINE["rough"]] * len(lines), abs=0.01)
    assert len(lines) >= 3
    told = " ".join(operation.tasks)
    for mm in (LINE["rough"], *TILTED["rough"]):
        assert str(scribed_length(mm)) in told
    for mm in (LINE["finished"], *TILTED["finished"]):
        assert f"{mm:.2f} mm" not in told
    finish = step(made(), "finish_grind")
    ends = [number.value for number in finish.numbers if number.what.startswith("grind line at x")]
    assert ends == pytest.approx([LINE["finished"]] * len(ends), abs=0.01)


def test_the_rough_line_of_a_hollow_is_where_its_wheel_meets_the_stock() -> None:
    # Source: closed form: the same circle, raised by half of what stays on the edge, cut by the stock's face.
    bevel = HollowBevel(wheel_diameter=100.0, height=HIGH, edge_thickness=EDGE)
    bar = dataclasses.replace(
        ground(bar_outline(), thickness=T), grind=Grind(bevel=bevel, plunge=Plunge(x=0.0), rough_edge=ROUGH)
    )
    low, top, up = np.array([0.0, EDGE / 2]), np.array([HIGH, T / 2]), (ROUGH - EDGE) / 2
    along = (top - low) / math.dist(low, top)
    off = math.sqrt(50.0**2 - math.dist(low, top) ** 2 / 4)
    centre = (low + top) / 2 + off * np.array([-along[1], along[0]]) + (0.0, up)
    line = centre[0] + math.sqrt(50.0**2 - (T / 2 - centre[1]) ** 2)
    sheet = GrindSheet(bar)
    assert sheet.rough_stations[0].grind_line == pytest.approx(line, abs=1e-4)
    chord = math.degrees(math.atan2(T / 2 - ROUGH / 2, line))
    assert sheet.rough_stations[0].angle_deg == pytest.approx(chord, abs=1e-3)


def words(knife: Knife) -> list[list[str]]:
    sheets = grind_pages(Design(knife), (paper("A4"),))
    return [[item.text for item in sheet.drawing.items if isinstance(item, Label)] for sheet in sheets]


def both(mm: float) -> tuple[str, str]:
    return f"{mm:.2f}", f"{mm / 25.4:.3f}"


def scribed(mm: float) -> tuple[str, str]:
    """As a line is scribed: tenths of a mm, 0.005 in."""
    return f"{mm:.1f}", f"{round(mm / 25.4 * 200) / 200:.3f}"


def test_the_table_tells_each_stage_in_its_own_weight() -> None:
    rows = tables(made())["Ground at the stations"]
    heads = ("grind line", "0.5° less", "0.5° more")
    for stage, bold in (("rough", False), ("finished", True)):
        less, more = TILTED[stage]
        for head, mm in zip(heads, (LINE[stage], less, more), strict=True):
            (cell,) = (each for each in rows[head].cells[0] if each.bold is bold)
            assert (cell.shown.first, cell.shown.second) == scribed(mm)
    told = [text for page in words(made()) for text in page]
    for mm in (*LINE.values(), *TILTED["rough"], *TILTED["finished"]):
        assert set(scribed(mm)) <= set(told)
    assert "In mm, under it in inch; thin ground before hardening, bold ground to size." in told
    at = next(i for i, text in enumerate(told) if text.startswith("Before hardening grind up to"))
    assert f"{LINE['rough']:.1f} mm" in told[at : at + 4]
    # Hardened unground there is no such stage.
    assert not any("efore hardening" in text for page in words(made(rough=None)) for text in page)


def test_template_and_view_show_the_rough_line() -> None:
    knife = made()
    (row,) = grind_line(knife, "rough")
    view = GrindView(GrindNumbers(GrindSheet(knife)), 190.0)
    for items, scale, whole in ((template_drawing(knife).items, 1.0, True), (view.items, view.scale, False)):
        dotted = [item.curve for item in items if isinstance(item, Path) and item.pen.dashes == (0.5, 0.9)]
        # On the view numbers stand in the line.
        assert (len(dotted) == 1) is whole
        size = math.dist(dotted[0].start, dotted[-1].end)
        assert size == pytest.approx(scale * math.dist(row[0], row[-1]), abs=0.01)
    told = [item.text for item in template_drawing(knife).items if isinstance(item, Label)]
    assert any(f"{LINE['rough']:.1f} mm" in text and "before hardening" in text for text in told)
    unground = template_drawing(made(rough=None)).items
    assert not [item for item in unground if isinstance(item, Path) and item.pen.dashes == (0.5, 0.9)]


@pytest.mark.parametrize("convex", [CONVEX, dataclasses.replace(CONVEX, height=9.0)])
def test_a_flat_under_which_a_convex_edge_is_set_keeps_its_one_jig(convex: ConvexEdge) -> None:
    # Where the blade is lower than the convex edge, at the tip, the flat does not show: its angle is the same there.
    lines = lines_told(made(convex))
    assert any(line.startswith("Jig wedge, rise per 100 mm: 9.12 mm") for line in lines)
    assert not any("varies" in line for line in lines)


def test_the_flat_has_an_edge_of_its_own_before_the_convex_one() -> None:
    knife = made(CONVEX)
    (earlier_stage,) = GrindSheet(knife).earlier
    assert (earlier_stage.kinds, earlier_stage.before) == ("flat", "before the convex edge")
    # Source: closed form at distances from the edge: e + (T - e) d / h, as if there were no convex edge.
    d = np.array(earlier_stage.sheet.heights)
    expected = np.minimum(EDGE + (T - EDGE) * d / HIGH, T)
    np.testing.assert_allclose(earlier_stage.sheet.thickness("finished")[0], expected, atol=1e-6)
    rows = tables(knife)
    for title, edge in (
        ("Thickness, flat, before the convex edge", EDGE),
        ("Thickness at heights over the edge", 0.15),
    ):
        shown = rows[title]["edge"].cells[0][-1].shown
        assert (shown.first, shown.second) == both(edge)
    cards = [text for page in words(knife) for text in page]
    for state in ("before the convex edge", "ground to size"):
        # Alike at both stations: one pair of cards.
        assert cards.count(f"{state}, {revision_id(knife)}") == 2


def test_the_finish_step_and_an_order_name_that_edge() -> None:
    knife = made(CONVEX)
    finish = step(knife, "finish_grind")
    assert value(finish, "edge, flat, before the convex edge") == EDGE
    assert value(finish, "edge before sharpening") == 0.15
    assert any("0.40 mm (0.016 in)" in task and "before the convex edge" in task for task in finish.tasks)
    blanks = [blank.value for blank in finish.blanks if blank.what.endswith("flat, before the convex edge")]
    assert blanks == pytest.approx([EDGE] * len(GrindSheet(knife).stations), abs=0.01)
    inspected = [number.what for number in route(knife).inspection]
    assert sum(what.endswith("before the convex edge") for what in inspected) == len(blanks)
    assert (measure("first edge thickness").of(knife), measure("edge thickness").of(knife)) == (EDGE, 0.15)
    told = [item.text for item in template_drawing(knife).items if isinstance(item, Label)]
    assert "edge 0.40 mm (0.016 in), flat, before the convex edge" in told
    assert "edge thickness 0.15 mm (0.006 in)" in told


def test_three_faces_are_set_one_below_the_other() -> None:
    second = AngledBevel(angle_deg=8.0, edge_thickness=0.3)
    third = ConvexEdge(under=second, height=0.6, edge_thickness=0.1, bulge=0.002)
    earlier = GrindSheet(made((FLAT, second, third))).earlier
    assert [earlier_stage.words for earlier_stage in earlier] == [
        "flat, before the flat at an angle",
        "flat over flat at an angle, before the convex edge",
    ]
    assert [earlier_stage.sheet.knife.grind.edge_thickness for earlier_stage in earlier] == [EDGE, 0.3]


def test_the_report_tells_plunge_and_every_face() -> None:
    hollow = HollowBevel(wheel_diameter=254.0, height=HIGH, edge_thickness=0.6)
    convex = ConvexEdge(under=hollow, height=3.0, edge_thickness=0.2, bulge=0.02)
    knife = made(convex, sharpen_deg=20.0)
    grind = report(Design(knife))["grind"]
    assert grind["plunge"] == {"x": knife.outline.heel[0], "lean_deg": 4.0, "radius": 3.0}
    upper, lower = grind["each_face"]
    assert upper["declared"] == {"wheel_diameter": 254.0, "height": HIGH, "edge_thickness": 0.6}
    assert lower["declared"] == {"under": 1, "height": 3.0, "edge_thickness": 0.2, "bulge": 0.02}
    assert (upper["kind"], lower["kind"]) == ("hollow", "convex edge")
    assert (upper["shows_to"], lower["shows_to"]) == (pytest.approx(HIGH, abs=0.01), pytest.approx(3.0, abs=0.02))
    # Source: closed form, chords from each edge to where the face ends.
    assert upper["angle_per_side"] == pytest.approx(math.degrees(math.atan2((T - 0.6) / 2, HIGH)), abs=0.01)
    assert (grind["edge_thickness"], grind["first_edge_thickness"], grind["sharpen_deg"]) == (0.2, 0.6, 20.0)
    text = as_text(report(Design(knife)))
    assert "plunge line        x 9.50 mm, leaning 4 degrees to the tip, radius 3.00 mm (0.118 in)" in text
    assert "wheel diameter 254.00 mm" in text


def test_the_report_tells_the_rough_stage() -> None:
    rough = grind_summary(made())["rough"]
    assert rough["height"] == pytest.approx(LINE["rough"], abs=1e-6)
    assert rough["edge_thickness"] == ROUGH
    assert rough["scribe"] == pytest.approx({"right": 1.35, "left": 1.35, "stays": 0.8})
    assert rough["stations"][0]["half_degree_off"] == pytest.approx(TILTED["rough"], abs=1e-6)
    assert grind_summary(made())["stations"][0]["half_degree_off"] == pytest.approx(TILTED["finished"], abs=1e-6)
    assert grind_summary(made(rough=None))["rough"] is None
    never = grind_summary(made((FLAT, AngledBevel(angle_deg=20.0, edge_thickness=EDGE)), rough=None))["each_face"][1]
    assert never["shows_to"] is None


def test_one_edge_reads_alike_at_every_station() -> None:
    # 0.8007 mm beside the chords of a curved edge would print 0.80 mm (0.032 in) here and (0.031 in) there.
    sheet = GrindSheet(made())
    assert len(sheet.stations) >= 5
    for stage, edge in (("rough", ROUGH), ("finished", EDGE)):
        np.testing.assert_allclose(sheet.thickness(stage)[:, 0], edge, atol=1e-6)  # type: ignore[arg-type]


def test_a_face_that_leaves_more_at_the_edge_is_ground_first_wherever_it_ends() -> None:
    # A convex edge that reaches above the flat's grind line: the flat still comes before it.
    flat = FlatBevel(height=HIGH, edge_thickness=0.6)
    knife = made(ConvexEdge(under=flat, height=18.0, edge_thickness=0.2, bulge=0.25))
    sheet = GrindSheet(knife)
    assert [earlier_stage.words for earlier_stage in sheet.earlier] == ["flat, before the convex edge"]
    assert measure("first edge thickness").of(knife) == 0.6
    assert sheet.scribe_offsets("finished") == pytest.approx(((T - 0.6) / 2, (T - 0.6) / 2))
    assert any(line.startswith("Ground before it: flat") for line in settings(sheet))
    tasks = step(knife, "finish_grind").tasks
    assert any("Then the convex edge, up to the grind line, until 0.20 mm" in task for task in tasks)


def test_the_finish_step_tells_how_far_a_lower_face_goes() -> None:
    tasks = step(made(CONVEX), "finish_grind").tasks
    assert any("Then the convex edge, up to 4.00 mm (0.157 in) from the edge" in task for task in tasks)


def test_a_chord_is_called_one_in_the_steps_and_no_jig_sets_it() -> None:
    hollow, flat = made(HollowBevel(wheel_diameter=254.0, height=HIGH, edge_thickness=EDGE)), made()
    for key in ("rough_grind", "finish_grind"):
        for knife, chord in ((hollow, True), (flat, False)):
            operation = step(knife, key)
            (angle,) = (number for number in operation.numbers if number.what.startswith("bevel angle"))
            assert ("chord" in angle.note) is chord
            assert not (chord and any("jig" in task for task in operation.tasks))
    assert not any("jig" in line.lower() for line in lines_told(hollow))
    assert sum("jig" in line.lower() for line in lines_told(flat)) == 2


def test_an_edge_ground_from_one_side_is_not_told_to_be_alike_on_both() -> None:
    for only, told in ((None, True), ("right", False)):
        blanks = step(made(only=only), "rough_grind").blanks
        assert any("both sides alike" in blank.note for blank in blanks if blank.what.startswith("edge at")) is told


def test_no_edge_is_asked_to_be_thinner_than_nothing() -> None:
    sheet = GrindSheet(made(FlatBevel(height=17.0, edge_thickness=0.02)))
    told = list(edges(sheet, "finished"))
    assert {number.low for number in told} == {0.0}
    assert all(number.high == pytest.approx(0.02 + EVEN, abs=1e-3) for number in told)
