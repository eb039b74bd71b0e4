"""Tiles: the same curves on all pages, seams clear of what must stay whole, and true when joined."""

from __future__ import annotations

import dataclasses
import itertools
import re
from functools import cache

import numpy as np
import printed
import pypdfium2
import pytest
import raster
import shapely
import specimens
from draws import draws, quick
from hypothesis import given
from hypothesis import strategies as st
from refusals import assert_tells

from bladegeom.curves.build import line
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import CUT_PEN, Circle, Drawing, Label, Path, Sheet
from bladegeom.drawing.ruler import MARGIN
from bladegeom.drawing.seams import OVERLAP, seams
from bladegeom.drawing.tile_page import BAR_APART, JOINED, TilePage
from bladegeom.drawing.tiles import on_tiles
from bladegeom.knife.knife import Knife
from bladegeom.outline.halves import BladeProfile, HandleProfile
from bladegeom.outline.outline import join_halves
from bladegeom.placing.place import add_fasteners
from bladegeom.profiles import get
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.papers import paper
from bladegeom.sheets.blade_sheet import BladePages, blade_pages
from bladegeom.writers.pdf import pdf_of_sheets

HEAD = ("Plate, revision A-00000000", "A plate.")
FOOT = ("Cut outside the line.",)


def plate(width: float, height: float, holes: tuple[tuple[float, float, float], ...] = ()) -> Drawing:
    border = line((0, 0), (width, 0), (width, height), (0, height), (0, 0))
    circles = (Circle(layer="CUT", x=x, y=y, radius=r, pen=CUT_PEN) for x, y, r in holes)
    return Drawing(name="Plate", items=(Path(layer="CUT", curve=border, closed=True, pen=CUT_PEN), *circles))


def outline_on(sheet: Sheet) -> Path:
    """The outermost line of what a tile shows a part of."""
    items = [item for item in sheet.windows[0].drawing.items if isinstance(item, Path) and item.layer == "CUT"]
    return max(items, key=lambda item: np.ptp(item.curve.pieces, axis=(0, 1)).prod())


def back(sheet: Sheet, drawing: Drawing) -> shapely.Geometry:
    """A tile's window in the drawing's own frame."""
    (window,) = sheet.windows
    own = Drawing(name="", items=(outline_on(sheet),)).bounds
    first = drawing.items[0] if isinstance(drawing.items[0], Path) and drawing.items[0].layer == "CUT" else None
    assert first is not None
    base = Drawing(name="", items=(first,)).bounds
    dx, dy = base[0] - own[0], base[1] - own[1]
    x0, y0, x1, y1 = window.box
    return shapely.box(x0 + dx, y0 + dy, x1 + dx, y1 + dy)


@st.composite
def plates(draw: st.DrawFn) -> Drawing:
    width, height = draw(st.floats(280.0, 700.0)), draw(st.floats(20.0, 230.0))
    count = draw(st.integers(0, 5))
    holes = []
    for _ in range(count):
        r = draw(st.floats(1.0, min(12.0, height / 2 - 5.0)))
        holes.append((draw(st.floats(r + 2, width - r - 2)), draw(st.floats(r + 2, height - r - 2)), r))
    return plate(width, height, tuple(holes))


@draws(12)
@given(piece=plates(), name=st.sampled_from(["A4", "Letter", "Legal"]))
def test_tiles_of_any_plate(piece: Drawing, name: str) -> None:
    # Five holes at most never leave no place for a seam on 12 pages.
    sheets = on_tiles(piece, paper(name), HEAD, FOOT)
    windows = [back(sheet, piece) for sheet in sheets]
    assert shapely.union_all(windows).buffer(1e-6).contains(shapely.box(*piece.bounds))
    circles = [item for item in piece.items if isinstance(item, Circle)]
    for window, two in itertools.combinations(windows, 2):
        zone = shapely.intersection(window, two)
        if zone.area > 0:
            x0, y0, x1, y1 = zone.bounds
            assert 10.0 <= min(x1 - x0, y1 - y0) <= 15.0
            for hole in circles:
                # The cross reaches 1 mm beyond the hole.
                assert zone.distance(shapely.Point(hole.x, hole.y)) >= hole.radius + 1.0
    for sheet in sheets:
        assert (sheet.width, sheet.height) == (sheets[0].width, sheets[0].height)
        reach = shapely.box(MARGIN, MARGIN, sheet.width - MARGIN, sheet.height - MARGIN).buffer(1e-6)
        assert reach.contains(shapely.box(*sheet.drawing.bounds))
        assert reach.contains(shapely.box(*sheet.windows[0].box))
        assert set(raster.bars(sheet)) == {("x", 100.0), ("x", 101.6), ("y", 100.0), ("y", 101.6)}
        texts = [Drawing(name="", items=(i,)) for i in sheet.drawing.items if isinstance(i, Label)]
        assert not any(
            shapely.box(*text.bounds).intersects(shapely.box(*sheet.windows[0].box))
            for text in texts
            if text.items[0].text != "trim here"  # type: ignore[union-attr]
        )


@draws(6)
@given(piece=plates(), name=st.sampled_from(["A4", "Letter"]))
def test_paths_read_back_agree_when_laid_crosshair_on_crosshair(piece: Drawing, name: str) -> None:
    sheets = on_tiles(piece, paper(name), HEAD, FOOT)
    document = pypdfium2.PdfDocument(pdf_of_sheets(sheets))
    read = [printed.paths(page) for page in document]
    marks = [printed.rings(found) for found in read]
    wanted = np.array(piece.items[0].curve.pieces).reshape(-1, 2)  # type: ignore[union-attr]
    outlines = []
    for found, ring in zip(read, marks, strict=True):
        outline = max(found, key=lambda xy: np.ptp(xy, axis=0).prod() if len(xy) >= 13 else 0.0)
        if len(sheets) > 1:
            outlines.append(outline - ring[0])
        np.testing.assert_allclose(np.ptp(outline, axis=0), np.ptp(wanted, axis=0), atol=0.01)
    for first, two in itertools.pairwise(outlines):
        np.testing.assert_allclose(first, two, atol=0.01)


def long_knife(blade: float, handle: float, lean: float = 0.0) -> Knife:
    halves = get("chef")(blade_length=blade, height=50.0), get("straight")(length=handle)
    assert isinstance(halves[0], BladeProfile)
    assert isinstance(halves[1], HandleProfile)
    knife = specimens.ground(join_halves(*halves), thickness=2.5, height=50.0, edge=0.3, lean=lean)
    return add_fasteners(knife, specimens.pins("1/4"), count=3)


@cache
def tiled(blade: float, handle: float, name: str, lean: float = 0.0) -> tuple[Knife, BladePages]:
    knife = long_knife(blade, handle, lean)
    (pages,) = blade_pages(Design(knife), [paper(name)])
    return knife, pages


@pytest.mark.parametrize(("blade", "handle", "lean"), [(230.0, 118.0, 0.0), (300.0, 140.0, 20.0), (250.0, 240.0, 0.0)])
@pytest.mark.parametrize("name", quick(["A4", "Letter"], "A4"))
def test_no_seam_runs_through_plunge_line_or_hole(blade: float, handle: float, lean: float, name: str) -> None:
    knife, pages = tiled(blade, handle, name, lean)
    sheets = pages.faces["right"]
    assert len(sheets) > 1
    moved = [outline_on(sheet).curve.pieces[0, 0, 0] - knife.outline.loop.pieces[0, 0, 0] for sheet in sheets]
    for (before, by), (after, by_after) in itertools.pairwise(zip(sheets, moved, strict=True)):
        zone = after.windows[0].box[0] - by_after, before.windows[0].box[2] - by
        assert 10.0 <= zone[1] - zone[0] <= 15.0
        plunge = sorted(x for x, _ in (knife.plunge_line.start, knife.plunge_line.end))
        spans = [
            (plunge[0], plunge[1]),
            *((h.x - h.diameter / 2, h.x + h.diameter / 2) for h in knife.holes_for_fasteners),
        ]
        for low, high in spans:
            assert high < zone[0] or low > zone[1]


def texts(sheet: Sheet) -> str:
    items = (*sheet.drawing.items, *sheet.windows[0].drawing.items)
    return " ".join(item.text for item in items if isinstance(item, Label))


def test_every_tile_says_which_it_is_and_what_to_do() -> None:
    knife, pages = tiled(300.0, 140.0, "Letter", 20.0)
    sheets = pages.faces["right"]
    for i, sheet in enumerate(sheets, start=1):
        told = texts(sheet)
        assert f"tile {i} of {len(sheets)}" in told
        assert f"Tile {i} of {len(sheets)}: " in told
        # A book numbers its pages through: only it says which page a tile is.
        assert not re.search(r"page \d", told)
        for wanted in (
            f"revision {knife.revision}-",
            "99.5 to 100.5 mm",
            "99.75 to 100.25 mm",
            "do not cut",
            "--printer",
        ):
            assert wanted in told
        (shaded,) = (item for item in sheet.drawing.items if isinstance(item, Path) and item.filled)
        number = next(
            item
            for item in sheet.drawing.items
            if isinstance(item, Label)
            and shapely.box(*Drawing(name="", items=(shaded,)).bounds).contains(shapely.Point(item.x, item.y))
        )
        assert number.text == str(i)
    assert "leave it whole" in texts(sheets[0])
    assert "trim here" not in texts(sheets[0])
    second = texts(sheets[1])
    assert "over tile 1 so that A1 lies on A1 and A2 on A2" in second
    assert "150 mm must read 149.25 to 150.75 mm (5.876 to 5.935 in)" in second
    assert second.count("trim here") == 1


def test_both_crosshairs_of_a_seam_stand_on_both_pages_and_the_bar_crosses_it() -> None:
    _, pages = tiled(300.0, 140.0, "Letter", 20.0)
    for before, after in itertools.pairwise(pages.faces["right"]):
        pair = printed.crosshairs(before)[-2:], printed.crosshairs(after)[:2]
        assert np.ptp(pair[0], axis=0)[1] > 60.0
        np.testing.assert_allclose(np.diff(pair[0], axis=0), np.diff(pair[1], axis=0), atol=1e-9)
        over = before.windows[0].box[2]
        bars = [
            item.curve
            for item in before.windows[0].drawing.items
            if isinstance(item, Path) and abs(item.curve.end[0] - item.curve.start[0] - 150.0) < 1e-9
        ]
        assert any(bar.start[0] + 60.0 < over < bar.end[0] - 60.0 for bar in bars)


@pytest.mark.parametrize("name", quick(["A4", "Letter"], "A4"))
def test_joined_tiles_agree_with_the_drawing_in_one_piece(name: str) -> None:
    """Printed at 600 dpi, laid crosshair on crosshair as they are seen, against the lines of the outline."""
    knife, pages = tiled(230.0, 118.0, name)
    sheets = pages.faces["right"]
    pdf = pdf_of_sheets(sheets)
    inks = [printed.ink_of(pdf, i) for i in range(len(sheets))]
    shift = np.zeros(2)
    origin = outline_on(sheets[0]).curve.pieces[0, 0] - knife.outline.loop.pieces[0, 0]
    border = knife.outline.polygon.exterior
    checked = 0
    for i, sheet in enumerate(sheets):
        if i:
            pair = printed.seen(inks[i - 1], sheets[i - 1])[-2:], printed.seen(inks[i], sheet)[:2]
            # Straight and at one distance: nothing is turned or stretched.
            np.testing.assert_allclose(pair[0] - pair[1], [pair[0][0] - pair[1][0]] * 2, atol=0.02)
            shift = shift + printed.laid_on(*pair)
        x0, _, x1, _ = sheet.windows[0].box
        for x in np.arange(x0 + 7.0, x1 - 1.0, 4.0):
            place = x + shift[0] - origin[0]
            cut = shapely.intersection(border, shapely.LineString([(place, -200.0), (place, 200.0)]))
            if not knife.outline.heel[0] + 3.0 < place < knife.outline.tip[0] - 25.0:
                continue
            for y in (point.y for point in shapely.get_parts(cut)):
                page_y = y + origin[1] - shift[1]
                found = list(printed.lines_at(inks[i], float(x), (page_y - 0.6, page_y + 0.6)))
                assert found, (i, x, y)
                assert min(abs(v - page_y) for v in found) < 0.05
                checked += 1
    assert checked > 60


def test_seams_take_the_fewest_pages_and_keep_off_words() -> None:
    assert seams((0.0, 240.0), 240.0, 156.0, [], []) == ()
    (at,) = seams((0.0, 400.0), 240.0, 156.0, [(195.0, 205.0)], []) or ()
    # The overlap is 12 mm wide; the nearest even place is 200.
    assert 188.0 < at <= 189.0 or 211.0 <= at < 212.0
    (off_words,) = seams((0.0, 400.0), 240.0, 156.0, [], [(180.0, 220.0)]) or ()
    assert not 174.0 < off_words < 226.0
    assert len(seams((0.0, 700.0), 240.0, 156.0, [], []) or ()) == 3
    assert seams((0.0, 400.0), 240.0, 156.0, [(0.0, 400.0)], []) is None


def test_what_cannot_be_tiled_is_told() -> None:
    with pytest.raises(ExportError) as caught:
        on_tiles(plate(1300.0, 40.0), paper("A4"), HEAD, FOOT)
    assert_tells(str(caught.value), "1300.00 mm", "1200.00 mm")
    with pytest.raises(ExportError) as caught:
        on_tiles(plate(1100.0, 900.0), paper("A4"), HEAD, FOOT)
    assert_tells(str(caught.value), "12 pages", "A4")
    slot = tuple((5.0 + 4.0 * i, 20.0, 1.5) for i in range(98))
    with pytest.raises(ExportError, match="larger paper"):
        on_tiles(plate(400.0, 40.0, slot), paper("A4"), HEAD, FOOT)


def test_a_large_plate_is_tiled_in_rows_and_columns() -> None:
    piece = plate(400.0, 300.0, ((200.0, 150.0, 10.0),))
    sheets = on_tiles(piece, paper("A4"), HEAD, FOOT)
    named = {item.text for sheet in sheets for item in sheet.windows[0].drawing.items if isinstance(item, Label)}
    # Every pair of neighbours has a letter and two crosshairs, every line of seams a bar.
    assert {"A1", "A2", "B1", "B2"} <= named
    assert len({text for text in named if text.startswith("over seam")}) >= 2
    for sheet in sheets:
        assert f"of {len(sheets)}" in texts(sheet)
        # Whoever is told to measure a bar finds one over a seam of that page.
        lines = [
            item.curve for item in sheet.windows[0].drawing.items if isinstance(item, Path) and len(item.curve) == 1
        ]
        x0, y0, x1, y1 = sheet.windows[0].box
        ends = [shapely.LineString([curve.start, curve.end]) for curve in lines]
        shown = [bar.intersects(shapely.box(x0, y0, x1, y1)) for bar in ends if round(bar.length, 6) in (100.0, 150.0)]
        assert any(shown) or "measure the bar over the seam" not in texts(sheet)


def test_a_handed_knife_is_tiled_on_both_faces() -> None:
    knife = dataclasses.replace(
        long_knife(230.0, 118.0), grind=dataclasses.replace(long_knife(230.0, 118.0).grind, only="right")
    )
    (pages,) = blade_pages(Design(knife), [paper("A4")])
    assert {flank: len(sheets) for flank, sheets in pages.faces.items()} == {"right": 2, "left": 2}
    left = pages.faces["left"]
    x = [outline_on(sheet).curve.pieces[:, 0, 0] for sheet in left]
    # Mirrored, the tip points to the left.
    assert x[0].argmin() == knife.outline.loop.pieces[:, 0, 0].argmax()


@pytest.mark.parametrize("name", ["A4", "Letter"])
def test_a_bar_over_a_seam_is_the_longest_that_the_page_holds_along_it(name: str) -> None:
    pages = [TilePage(paper(name), lies, ("Knife",), ("Print at 100 %.",)) for lies in (True, False)]
    for page in pages:
        for axis in (0, 1):
            assert page.joined(axis) == next(s for s in JOINED if s + BAR_APART + OVERLAP <= page.room[axis])
    assert any(page.joined(0) != page.joined(1) for page in pages)
