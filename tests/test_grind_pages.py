"""The grind sheet on paper: what stands on it, that it fits, and that sections and gauges are true."""

from __future__ import annotations

import dataclasses
import itertools
import math
import re
from typing import Any

import numpy as np
import numpy.typing as npt
import printed
import pypdfium2
import pytest
import raster
import shapely
from draws import quick
from specimens import bar_outline, chef, drop_point, ground, petty
from told_grind import lines_told, tables

from bladegeom.book.grind_numbers import GrindNumbers, show_height
from bladegeom.book.grind_pages import grind_pages
from bladegeom.book.grind_rows import row_groups
from bladegeom.book.grind_sections import GrindSections
from bladegeom.book.grind_settings import worked_to
from bladegeom.book.grind_view import GrindView, _broken
from bladegeom.book.page_numbers import numbered_pages
from bladegeom.book.station_table import StationTable
from bladegeom.curves.curve import Curve
from bladegeom.curves.flatten import flatten
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import THIN_PEN, Label, Path, Sheet
from bladegeom.drawing.page_flow import PageFlow
from bladegeom.drawing.ruler import MARGIN, bars
from bladegeom.drawing.table import table_items
from bladegeom.drawing.type_sizes import PT
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
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.number_alone import alone
from bladegeom.quantities.papers import paper
from bladegeom.quantities.shown import Shown, caliper_length, scribed_length
from bladegeom.quantities.tolerances import FINE_CHORD
from bladegeom.quantities.unit_order import told_first
from bladegeom.quantities.units import inch, show_mm
from bladegeom.sheets.gauge import CARD, TOLERANCE, card_outline, gauges, name_on_card
from bladegeom.sheets.section import blade_section
from bladegeom.writers.pdf import pdf_of_sheets

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


def tanto() -> Knife:
    blade, handle = get("tanto")(blade_length=120.0), get("birds_head")()
    assert isinstance(blade, BladeProfile)
    assert isinstance(handle, HandleProfile)
    return made(ground(join_halves(blade, handle)), FlatBevel(height=14.0, edge_thickness=0.4), rough_edge=0.8)


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
    "scandinavian": made(drop_point(), FlatBevel(height=8.0, edge_thickness=0.0), rough_edge=0.5),
    "two edges": tanto(),
    "tall": ground(bar_outline(height=75.0, blade=220.0), thickness=6.0, height=30.0),
    "tiny": ground(bar_outline(height=14.0, blade=45.0, heel=6.0), thickness=1.6, height=8.0, edge=0.2),
    "long name": dataclasses.replace(drop_point(), name="A rigging knife for the second mate, with his initials on it"),
}


MOST = ("flat tapered", "hollow", "one side", "compound", "two zero edges", "tiny", "two edges", "scandinavian")
"""What the quick suite lays out; a long or a tall blade and a long name in the long one."""

LETTERS = (("300 mm", LETTER), ("hollow", LETTER))

Pages = tuple[Knife, tuple[Sheet, ...]]

LEAST = 9.0 * PT
"""Size of type that nothing on a page is below, mm, besides what is cut out and the bars."""


@pytest.fixture(
    scope="module",
    params=quick([*((name, A4) for name in KNIVES), *LETTERS], *((name, A4) for name in MOST), ("hollow", LETTER)),
    ids=lambda written: f"{written[0]} {written[1].name}",
)
def pages(request: pytest.FixtureRequest) -> Pages:
    name, specimen = request.param
    knife = KNIVES[name]
    return knife, numbered_pages(grind_pages(Design(knife), (specimen,), remarks=("For the galley",)), "A-1")


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


def joined(sheets: tuple[Sheet, ...]) -> str:
    return " ".join(words(sheets))


def cards(sheet: Sheet) -> list[shapely.Polygon]:
    """What is cut out of a page."""
    found = (item for item in sheet.drawing.items if isinstance(item, Path) and item.layer == "CUT")
    return [shapely.Polygon(flatten(item.curve, 1e-3)) for item in found]


def test_pages_keep_within_what_a_printer_reaches(pages: Pages) -> None:
    for sheet in pages[1]:
        assert sheet.height > sheet.width
        x0, y0, x1, y1 = sheet.drawing.bounds
        assert min(x0, y0) >= MARGIN - 1e-6
        assert x1 <= sheet.width - MARGIN + 1e-6
        assert y1 <= sheet.height - MARGIN + 1e-6


def test_texts_keep_off_each_other_and_off_the_bars(pages: Pages) -> None:
    for sheet in pages[1]:
        assert clashes(sheet) == []
        if cards(sheet):
            drawn = bars(sheet.width, sheet.height, "right")
            room = shapely.union_all([shapely.box(*bar.bounds) for bar in drawn])
            own = {item for bar in drawn for item in bar.items}
            assert not [i.text for i in labels(sheet) if i not in own and room.intersects(shapely.Polygon(i.corners))]
            assert not [card for card in cards(sheet) if room.intersects(card)]


def test_no_line_runs_through_a_text(pages: Pages) -> None:
    for sheet in pages[1]:
        lines = [item for item in sheet.drawing.items if isinstance(item, Path) and not item.filled]
        drawn = shapely.union_all([shapely.LineString(flatten(item.curve, 0.02)) for item in lines])
        assert [i.text for i in labels(sheet) if drawn.intersects(shapely.Polygon(i.corners).buffer(-0.1))] == []


def test_no_type_is_smaller_than_nine_points_but_on_what_is_cut_out_and_on_the_bars(pages: Pages) -> None:
    for sheet in pages[1]:
        held = shapely.union_all(cards(sheet))
        on_bars = {item for bar in bars(sheet.width, sheet.height, "right") for item in bar.items}
        for label in labels(sheet):
            # Size of the face: the height of a label is 0.9 of it.
            if label.height / 0.9 < LEAST:
                assert label in on_bars or held.contains(shapely.Polygon(label.corners)), label.text


def test_nothing_is_grey(pages: Pages) -> None:
    assert all(item.pen.grey == 0.0 for sheet in pages[1] for item in sheet.drawing.items if isinstance(item, Path))


def test_every_page_names_knife_and_revision(pages: Pages) -> None:
    knife, sheets = pages
    assert len(sheets) >= 2
    for number, sheet in enumerate(sheets, start=1):
        text = joined((sheet,))
        assert f"{knife.name}, revision {knife.revision}" in text
        assert f"A-1, page {number} of {len(sheets)}" in text
        assert "For the galley" in text


def test_only_pages_with_gauges_ask_for_true_size(pages: Pages) -> None:
    found = [bool(cards(sheet)) for sheet in pages[1]]
    assert any(found)
    assert not found[0]
    for sheet, cut in zip(pages[1], found, strict=True):
        assert ("Print at 100 %" in joined((sheet,))) is cut
        assert [words((sheet,)).count(along) for along in ("ACROSS", "ALONG")] == [cut, cut]


@pytest.mark.parametrize(("name", "most"), [("flat tapered", 2), ("hollow", 2), ("one side", 2), ("compound", 3)])
def test_a_grind_takes_few_pages(name: str, most: int) -> None:
    assert len(grind_pages(Design(KNIVES[name]), (A4,))) <= most


def test_no_station_is_dropped(pages: Pages) -> None:
    knife, sheets = pages
    told = words(sheets)
    for i, station in enumerate(GrindSheet(knife).stations):
        # Its number and its x over and under the blade, and at the head of its column.
        assert told.count(f"{i + 1}") >= 2
        assert told.count(alone(scribed_length(station.x)).first) >= 2


def test_thicknesses_are_told_in_mm_and_inch(pages: Pages) -> None:
    knife, sheets = pages
    told = set(words(sheets))
    sheet = GrindSheet(knife)
    for stage in (stage for stage in sheet.stages if stage != "sharp"):
        for value in sheet.thickness(stage)[:, 0].tolist():
            shown = alone(caliper_length(value))
            assert shown.text in told or {shown.first, shown.second} <= told


def ended(station: Station) -> str:
    """Where the bevel ends there, as the table tells it."""
    return "spine" if station.grind_line is None else alone(scribed_length(station.grind_line)).first


@pytest.mark.parametrize("name", quick(KNIVES, *MOST))
def test_each_number_of_the_table_is_that_of_the_grind_sheet(name: str) -> None:
    sheet = GrindSheet(KNIVES[name])
    rows = tables(KNIVES[name])
    for h, row in enumerate(rows["Thickness at heights over the edge"].values()):
        assert row.head.first == (show_height(sheet.heights[h]).first if h else "edge")
        for i, cell in enumerate(row.cells):
            expected = [sheet.thickness(stage)[i, h] for stage in sheet.stages if stage != "sharp"]
            if np.isnan(expected[-1]):
                assert [told.shown.first for told in cell] == ["-"]
                continue
            assert [told.shown for told in cell] == [alone(caliper_length(value)) for value in expected]
            assert [told.bold for told in cell] == [False, True][-len(cell) :]
    places = rows["Ground at the stations"]
    for i, station in enumerate(sheet.stations):
        assert places["x"].cells[i][-1].shown == alone(scribed_length(station.x))
        assert places["grind line"].cells[i][-1].shown.first == ended(station)
        for head, which in (("0.5° less", 0), ("0.5° more", 1)):
            if station.tilted is not None:
                moved = station.tilted[which]
                where = Shown(first="spine") if moved is None else alone(scribed_length(moved))
                assert places[head].cells[i][-1].shown == where
    for rough, told in zip(sheet.rough_stations, places["grind line"].cells, strict=False):
        assert told[0].shown.first == ended(rough)


@pytest.mark.parametrize("name", quick(KNIVES, *MOST))
def test_the_thinnest_wall_is_told_where_it_is_not_the_edge(name: str) -> None:
    sheet = GrindSheet(KNIVES[name])
    places = tables(KNIVES[name])["Ground at the stations"]
    for i, station in enumerate(sheet.stations):
        if "thinnest wall" in places:
            assert places["thinnest wall"].cells[i][-1].shown == alone(caliper_length(station.wall[0]))
            assert places["its height"].cells[i][-1].shown == alone(caliper_length(station.wall[1]))
        else:
            assert station.wall == pytest.approx((sheet.thickness("finished")[i, 0], 0.0), abs=0.005)


@pytest.mark.parametrize("name", quick(KNIVES, *MOST))
def test_what_the_table_leaves_out_is_the_stock(name: str) -> None:
    sheet = GrindSheet(KNIVES[name])
    count = len(tables(KNIVES[name])["Thickness at heights over the edge"])
    for stage in sheet.stages:
        beyond = sheet.thickness(stage)[:, count:]
        for i, station in enumerate(sheet.stations):
            known = beyond[i][~np.isnan(beyond[i])]
            np.testing.assert_allclose(known, station.stock, atol=0.006)
    notes = [group.note for group in row_groups(GrindNumbers(sheet))]
    assert any("upwards it is the stock" in note for note in notes) is (count < len(sheet.heights))


@pytest.mark.parametrize("name", quick(KNIVES, *MOST))
def test_what_an_earlier_stage_does_not_tell_of_its_own_is_as_ground_to_size(name: str) -> None:
    sheet = GrindSheet(KNIVES[name])
    finished = sheet.thickness("finished")
    for title, other in (
        *((f"Thickness, {earlier.words}", earlier.sheet.thickness("finished")) for earlier in sheet.earlier),
        ("Thickness, sharpened", sheet.thickness("sharp")),
    ):
        heads = tables(KNIVES[name]).get(title, {})
        # An apex has no thickness to check by.
        for h, height in list(enumerate(sheet.heights))[title == "Thickness, sharpened" :]:
            apart = np.nan_to_num(np.abs(other[:, h] - finished[:, h])).max() >= 0.01
            head = show_height(height).first if h else "edge"
            assert not apart or head in heads
        assert title == "Thickness, sharpened" or title in tables(KNIVES[name])


@pytest.mark.parametrize("name", quick(KNIVES, *MOST))
def test_numbers_stand_at_their_stations_from_the_edge_upwards(name: str) -> None:
    sheet = GrindSheet(KNIVES[name])
    view = GrindView(GrindNumbers(sheet), 190.0)
    texts = [item for item in view.items if isinstance(item, Label)]
    boxes = [shapely.Polygon(label.corners) for label in texts]
    assert not any(a.intersects(b) for a, b in itertools.combinations(boxes, 2))
    blade = shapely.affinity.scale(KNIVES[name].bevel_region, view.scale, view.scale, origin=(0, 0))
    marks = shapely.union_all([shapely.LineString(flatten(i.curve, 0.01)) for i in view.items if isinstance(i, Path)])
    assert view.columns
    for column in view.columns:
        at = sheet.stations.index(column.station)
        count = len(view.numbers.stages)
        assert len(column.labels) == count * len(column.rows)
        for k, (height, _) in enumerate(column.rows):
            group = column.labels[count * k : count * (k + 1)]
            for stage, label in zip(view.numbers.stages, group, strict=True):
                expected = sheet.thickness(stage)[at, sheet.heights.index(height)]
                assert (label.text, label.bold) == (show_mm(expected), stage == "finished")
                assert blade.contains(shapely.Polygon(label.corners))
                # No line runs through it, and none behind the plunge line is told of.
                assert not marks.intersects(shapely.Polygon(label.corners))
                # Its middle is as high as its dot.
                _, y = column.station.place(np.array([height]))
                assert label.y + 0.36 * label.height == pytest.approx(view.scale * y[0], abs=1e-6)
            # A number is nearer to its own station than to any other.
            near = shapely.union_all([shapely.Polygon(label.corners) for label in group])
            lines = [shapely.LineString(np.stack(s.place(np.array([0.0, s.reach])), axis=1)) for s in sheet.stations]
            away = [shapely.affinity.scale(n, view.scale, view.scale, origin=(0, 0)).distance(near) for n in lines]
            assert away[at] == pytest.approx(min(away), abs=1.0)
        heights = [label.y for label in column.labels if label.bold]
        assert heights == sorted(heights)
        assert [height for height, _ in column.rows] == sorted(height for height, _ in column.rows)


@pytest.mark.parametrize("name", quick(KNIVES, *MOST))
def test_the_blade_is_drawn_as_large_as_the_page_takes_it(name: str) -> None:
    knife = KNIVES[name]
    view = GrindView(GrindNumbers(GrindSheet(knife)), 190.0)
    x = np.concatenate([flatten(i.curve, 0.01)[:, 0] for i in view.items if isinstance(i, Path)])
    assert np.ptp(x) <= 190.0
    length = knife.outline.tip[0] - min(0.0, knife.handle_front.end[0])
    assert view.scale == 3.0 or (view.scale + 0.05) * length > 190.0 - 4.0 - 0.1 * length
    assert f"Scale {view.scale:g} : 1, seen from the right" in joined(grind_pages(Design(knife), (A4,)))


def test_a_grind_line_is_drawn_where_it_is() -> None:
    # Source: closed form: on a bar of 3.2 mm a flat bevel from an edge of 0.5 to 18 mm ends 18 mm over the edge, and
    # from an edge of 0.8, at the same angle, (3.2 - 0.8) / (3.2 - 0.5) of that.
    knife = made(ground(bar_outline(), thickness=3.2), FlatBevel(height=18.0, edge_thickness=0.5), rough_edge=0.8)
    view = GrindView(GrindNumbers(GrindSheet(knife)), 190.0)
    for width, height in ((0.5, 18.0), (0.18, 16.0)):
        parts = [flatten(i.curve, 0.01) for i in view.items if isinstance(i, Path) and i.pen.width == width]
        y = np.concatenate(parts)[:, 1] / view.scale - knife.outline.bounds[1]
        middle = y[(np.concatenate(parts)[:, 0] / view.scale > 15.0) & (np.concatenate(parts)[:, 0] < 150.0)]
        np.testing.assert_allclose(middle, height, atol=0.02)


@pytest.mark.parametrize("name", quick(KNIVES, *MOST))
def test_sections_tell_what_is_right_behind_the_edge(name: str) -> None:
    knife = KNIVES[name]
    sheet = GrindSheet(knife)
    sections = GrindSections(GrindNumbers(sheet), 190.0, 56.0)
    texts = [item for item in sections.items if isinstance(item, Label)]
    told = [label.text for label in texts]
    boxes = [shapely.Polygon(label.corners) for label in texts]
    assert not any(a.intersects(b) for a, b in itertools.combinations(boxes, 2))
    assert all(label.corners[:, 0].min() >= 0.0 and label.corners[:, 0].max() <= 190.0 for label in texts)
    for i in sections.chosen:
        station = sheet.stations[i]
        assert f"station {i + 1}, x {alone(scribed_length(station.x)).first}" in told
        for height in sections.heights(i):
            assert 0.0 < height < sheet.height_step
            for stage in sections.numbers.stages:
                x, y = station.place(np.array([height]))
                assert show_mm(float(thickness(knife, stage, x, y, chord=FINE_CHORD)[0])) in told


def test_thicknesses_behind_the_edge_of_a_flat_bevel() -> None:
    # Source: closed form, e + (T - e) d / H.
    knife = ground(bar_outline(), thickness=3.2, height=18.0, edge=0.5)
    sections = GrindSections(GrindNumbers(GrindSheet(knife)), 190.0, 56.0)
    told = [item.text for item in sections.items if isinstance(item, Label) and item.bold]
    assert sections.heights(0) == (1.0, 2.0, 3.0, 4.0)
    assert told[:4] == [f"{0.5 + 2.7 * d / 18.0:.2f}" for d in (1.0, 2.0, 3.0, 4.0)]


def test_with_inches_first_heights_are_read_off_in_inches() -> None:
    knife = KNIVES["flat tapered"]
    with told_first("inch"):
        told = words(grind_pages(Design(knife), (LETTER,)))
        sheet = dataclasses.replace(GrindSheet(knife), height_step=inch("1/4"))
        shown = [alone(caliper_length(v)) for v in sheet.thickness("finished")[0, 1:3].tolist()]
    assert "In inch, under it in mm; thin ground before hardening, bold ground to size." in told
    for each in shown:
        assert {each.first, each.second} <= set(told)
    # Readings before, in parentheses after.
    assert any(text.startswith("0.") and text.endswith(")") for text in told)


def test_a_long_table_goes_on_under_its_heads() -> None:
    groups = tuple(row_groups(GrindNumbers(dataclasses.replace(GrindSheet(KNIVES["300 mm"]), step=10.0))))
    count = len(groups[0].rows[0].cells)
    table = StationTable([f"{i}" for i in range(1, count + 1)], groups, 190.0)
    assert len(table.bands) >= 3
    assert [i for band in table.bands for i in band] == list(range(count))
    flow = PageFlow(room=80.0, width=190.0)
    flow.begin()
    table.put(flow)
    for page in flow.pages[1:]:
        assert any(isinstance(item, Label) and item.text == "station" for item in page)


@pytest.mark.long
def test_a_blade_of_300_mm_with_stations_of_10_mm() -> None:
    knife = KNIVES["300 mm"]
    sheets = grind_pages(Design(knife), (A4,), step=10.0)
    told = words(sheets)
    assert all(alone(scribed_length(station.x)).first in told for station in GrindSheet(knife, step=10.0).stations)
    assert len(GrindSheet(knife, step=10.0).stations) >= 28
    assert [clashes(sheet) for sheet in sheets] == [[]] * len(sheets)


@pytest.mark.parametrize("name", quick(("A4", "Letter"), "A4"))
def test_gauges_are_as_large_on_paper_as_they_are(name: str) -> None:
    """Rendered at 600 dpi: bars by their ticks, each card by its lower and upper border and by its sides."""
    sheets = grind_pages(Design(KNIVES["hollow"]), (paper(name),))
    (number,) = [i for i, sheet in enumerate(sheets) if cards(sheet)]
    pdf = pdf_of_sheets(sheets)
    picture = pypdfium2.PdfDocument(pdf)[number].render(scale=raster.DPI / 72).to_pil()
    lengths = list(raster.measured(picture, sheets[number]))
    assert len(lengths) == 4
    for wanted, found in lengths:
        assert found == pytest.approx(wanted, abs=0.05)
    ink = printed.ink_of(pdf, number)
    # The bevel is the same at both stations: one pair.
    assert len(cards(sheets[number])) == 2
    for card in cards(sheets[number]):
        x0, y0, x1, y1 = card.bounds
        for x in (x0 + 2.0, x1 - 2.0):
            crossed = sorted(printed.lines_at(ink, x, (y0 - 1.0, y1 + 1.0)))
            assert (crossed[0], crossed[-1]) == pytest.approx((y0, y1), abs=0.03)
        row = ink[round(len(ink) - (y0 + 1.0) / raster.PIXEL)]
        sides = np.flatnonzero(row[round((x0 - 1.0) / raster.PIXEL) : round((x1 + 1.0) / raster.PIXEL)] > 60)
        assert (sides[-1] - sides[0]) * raster.PIXEL == pytest.approx(x1 - x0, abs=0.25)


def test_stations_that_are_ground_alike_share_a_pair_of_cards() -> None:
    even = KNIVES["hollow"]
    taper = ((0.0, even.stock.thickness), (even.outline.tip[0], 1.0))
    tapered = dataclasses.replace(even, stock=dataclasses.replace(even.stock, taper=taper))

    def heads(knife: Knife) -> list[str]:
        drawn = gauges(GrindSheet(knife), "ground to size", knife)
        return [next(item.text for item in each.items if isinstance(item, Label)) for each in drawn]

    first, second = heads(even)
    assert re.fullmatch(r"GO  x [\d.]+ mm and [\d.]+ mm", first)
    assert second == f"NO {first}"
    assert [head.partition("  ")[0] for head in heads(tapered)] == ["GO", "NO GO", "GO", "NO GO"]
    assert not any(" and " in head for head in heads(tapered))


@pytest.mark.parametrize("called", ["Nůž pro Jiří Őszi", "Μαχαίρι κουζίνας", "Кухонный нож Ёлка", "W" * 30, "a " * 60])
def test_other_letters_and_long_names_are_whole(called: str) -> None:
    knife = dataclasses.replace(KNIVES["hollow"], name=called)
    for sheet in grind_pages(Design(knife), (A4,), remarks=("NOT RELEASED, errors stand: some-code.",)):
        assert clashes(sheet) == []
        text = joined((sheet,))
        assert "".join(called.split()) in "".join(text.split())
        assert "NOT RELEASED, errors stand: some-code." in text
        x0, _, x1, _ = sheet.drawing.bounds
        assert x0 >= MARGIN - 1e-6
        assert x1 <= sheet.width - MARGIN + 1e-6


def test_a_name_that_leaves_no_room_is_refused() -> None:
    with pytest.raises(ExportError, match="shorten"):
        grind_pages(Design(dataclasses.replace(KNIVES["hollow"], name="W" * 1000)), (A4,))


def test_gauges_too_tall_for_a_paper_are_refused() -> None:
    with pytest.raises(ExportError, match="larger paper"):
        grind_pages(Design(KNIVES["tall"]), (dataclasses.replace(A4, height=150.0, width=140.0),))


def test_gauges_tell_what_scissors_are_good_for() -> None:
    text = joined(grind_pages(Design(KNIVES["hollow"]), (A4,)))
    assert "Scissors cut to about 0.30 mm (0.012 in): a card finds a step of 0.50 mm (0.020 in), not one of" in text


@pytest.mark.parametrize("thick", [2.13, 3.96875, 4.7625])
def test_what_is_scribed_and_what_stays_make_up_the_stock(thick: float) -> None:
    """As printed: by steps of 0.05 mm the edge would come out 0.04 mm off, of the 0.05 mm that it has."""
    knife = made(ground(bar_outline(), thickness=thick), FlatBevel(height=18.0, edge_thickness=0.5), rough_edge=0.8)
    sheet = GrindSheet(knife)
    told = [worked for worked in worked_to(sheet) if worked.what.startswith("Scribe")]
    for worked in told:
        scribed, stays = (float(text.split(" mm")[0]) for text in (worked.shown.first, worked.limits))
        assert 2 * scribed + stays == pytest.approx(thick, abs=0.02)
    assert told


def test_settings_of_a_flat_bevel() -> None:
    # Source: closed forms: atan(1.35 / 18) = 4.29 deg, 100 x 1.35 / 18 = 7.5; scribe (3.2 - e) / 2.
    knife = made(ground(bar_outline(), thickness=3.2), FlatBevel(height=18.0, edge_thickness=0.5), rough_edge=0.8)
    weighed = weigh(knife)
    grams = [weighed.stage(stage).amount * 7.85e-3 for stage in ("blank", "rough", "finished", "sharp")]
    assert lines_told(knife) == [
        "Scribe on the blank's edge, ground before hardening, from each face: 1.20 mm (0.047 in); "
        "0.80 mm (0.031 in) stays",
        "Scribe on the blank's edge, ground to size, from each face: 1.35 mm (0.053 in); 0.50 mm (0.020 in) stays",
        "Before hardening grind up to, at station 1, and no higher: 16.0 mm (0.630 in); ",
        "Bevel at station 1, edge to grind line, a side: 4.3 degrees; 8.6 degrees included",
        "Jig wedge, rise per 100 mm: 7.50 mm (0.295 in); ",
        "Sharpen, a side: 18 degrees; facet 1.00 mm (0.039 in) high, 1.05 mm (0.041 in) wide",
        "Bevel: flat, height 18.00 mm (0.709 in), edge thickness 0.50 mm (0.020 in).",
        "A jig 0.5° off moves the grind line as in the table: scribe the line, do not trust the jig.",
        f"The steel weighs: blank {grams[0]:.0f} g, ground before hardening {grams[1]:.0f} g, "
        f"ground to size {grams[2]:.0f} g, sharpened {grams[3]:.0f} g.",
        "Plunge line at x 0.00 mm (0.000 in), upright, a sharp step.",
        "Grind line, ground before hardening.",
        "Grind line, ground to size.",
    ]
    # Source: closed form of the facet, e / (2 (tan a - tan b)).
    high = 0.5 / 2 / (math.tan(math.radians(18.0)) - 1.35 / 18.0)
    assert f"facet {high:.2f} mm" in lines_told(knife)[5]
    on_paper = joined(grind_pages(Design(knife), (A4,)))
    for text in lines_told(knife)[6:]:
        assert text in on_paper
    for each in worked_to(GrindSheet(knife)):
        assert {each.shown.first, each.shown.second} - {""} <= set(words(grind_pages(Design(knife), (A4,))))
        assert each.what in on_paper
        assert each.limits in on_paper


@pytest.mark.parametrize(
    ("name", "line"),
    [
        (
            "hollow",
            "Bevel: hollow, wheel diameter 254.00 mm (10 in), height 17.00 mm (0.669 in), edge thickness 0.60 mm",
        ),
        ("hollow", "Plunge line at x 9.50 mm (0.374 in), leaning 15 degrees to the tip, a sharp step."),
        ("hollow", "Bevel at station 1, edge to grind line, a side (chord): "),
        ("flat tapered", "Plunge line at x 9.50 mm (0.374 in), upright, radius 5.00 mm (0.197 in)."),
        ("one side", "Bevel, on the left side only: flat at an angle, angle 14 degrees, edge thickness 0.20 mm"),
        ("one side", "Bevel at station 1, edge to grind line, on the left side: 14 degrees; "),
        ("one side", "Sharpen, on the left side: 18 degrees; facet "),
        ("one side", "Scribe on the blank's edge, ground to size, from the left face: 2.80 mm (0.110 in); 0.20 mm"),
        ("compound", "Scribe on the blank's edge, ground to size, from each face: 1.75 mm"),
        (
            "flat tapered",
            "Stock 4.00 mm (0.157 in), tapered: 4.00 mm (0.157 in) at x 9.50, 2.00 mm (0.079 in) at x 110.00;",
        ),
        ("leaning back", "Plunge line at x 9.50 mm (0.374 in), leaning 12 degrees to the butt, a sharp step."),
        (
            "leaning back",
            "One side alone on tapered stock: the scribed distances hold at the heel only; ground",
        ),
        ("chef full flat", "Bevel at station 1, edge to spine, a side: "),
        (
            "compound",
            "Then below it: flat at an angle, angle 11 degrees, edge thickness 0.00 mm (0.000 in); 11 degrees a side",
        ),
        ("compound", "Sharpen, a side: 18 degrees; no facet: the face below it comes to a point by itself"),
    ],
)
def test_settings(name: str, line: str) -> None:
    assert any(text.startswith(line) for text in lines_told(KNIVES[name]))


def test_faces_are_scribed_for_the_first_one() -> None:
    assert any(text.endswith("stays, for the first face") for text in lines_told(KNIVES["compound"]))
    assert not any("first face" in text for text in lines_told(KNIVES["hollow"]))


def test_a_full_flat_bevel_has_no_line_for_a_jig_to_move() -> None:
    unground = made(chef(), FULL, (20.0, 2.5), (225.0, 1.2))
    assert not any("do not trust the jig" in text for text in lines_told(unground))
    # Before hardening it ends below the spine, on a line that a jig does move.
    assert any("do not trust the jig" in text for text in lines_told(KNIVES["chef full flat"]))
    # No jig gives a hollow its angle; its chord moves the line all the same.
    assert any("A chord 0.5° off" in text for text in lines_told(KNIVES["hollow"]))


def test_a_wedge_is_told_where_it_holds() -> None:
    # Source: closed form: on a bar the angle is the same all along; on a taper it follows the thickness.
    assert not any("at station 1 only" in text for text in lines_told(KNIVES["one side"]))
    assert any(t.startswith("Jig wedge") and "at station 1 only" in t for t in lines_told(KNIVES["flat tapered"]))
    assert not any("Jig wedge" in text for text in lines_told(KNIVES["hollow"]))
    assert "chord °" in words(grind_pages(Design(KNIVES["hollow"]), (A4,)))


@pytest.mark.parametrize(("edge", "steeper"), [(0.0, 0.0), (0.3, 0.6)])
def test_a_face_that_never_shows_is_left_out(edge: float, steeper: float) -> None:
    faces = (FlatBevel(height=17.0, edge_thickness=edge), AngledBevel(angle_deg=12.0, edge_thickness=steeper))
    lines = lines_told(made(drop_point(), faces))
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
    whose = name_on_card(knife)
    assert whose.startswith(knife.name if name != "long name" else "A rigging knife")
    sheet = GrindSheet(knife)
    for grind_sheet, state in (
        (sheet, "ground to size"),
        *((earlier_stage.sheet, earlier_stage.before) for earlier_stage in sheet.earlier),
    ):
        drawn = list(gauges(grind_sheet, state, knife))
        assert len(drawn) in (2, 4)
        for drawing in drawn:
            card, *words = drawing.items
            assert isinstance(card, Path)
            assert (card.layer, card.closed) == ("CUT", True)
            ring = shapely.Polygon(flatten(card.curve, 1e-3))
            assert ring.is_valid
            lines = [item for item in words if isinstance(item, Label)]
            assert len(lines) == len(words)
            assert all(ring.contains(shapely.Polygon(item.corners)) for item in lines)
            assert [item.text for item in lines[2:]] == [f"{state}, {revision_id(knife)}", whose]
            assert lines[1].text.startswith("notch ")
            assert len({item.height for item in lines[1:]}) == 1
            # Small letters still print: common practice, no source.
            assert min(item.height for item in lines) >= 1.2


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
        assert f"{t:.2f}" in told
        assert f"{t / 25.4:.3f}" in told


@pytest.mark.parametrize("beside", [0.0, 1e-9, 1e-7, 1e-4, 0.01])
def test_a_number_that_ends_just_beside_a_place_of_a_line_breaks_it_cleanly(beside: float) -> None:
    whole = shapely.LineString([(0.0, 0.0), (10.0, 0.0), (20.0, 1.0)])
    parts = list(_broken(whole, shapely.box(5.0, -1.0, 10.0 - beside, 1.0), THIN_PEN))
    assert [part.curve.start for part in parts] == [(0.0, 0.0), pytest.approx((10.0, 0.0), abs=0.011)]
    assert parts[1].curve.end == (20.0, 1.0)
