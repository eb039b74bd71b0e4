"""The drill card on paper: all of it stands there, within reach of a printer, and no text is covered."""

from __future__ import annotations

import dataclasses
import io
import re
from collections.abc import Callable
from functools import cache

import numpy as np
import pypdfium2
import pytest
import shapely
import specimens
from draws import quick
from fastened import CONTOURED, FLAT, INCH_STANDOFF, LINED, PIN, at, bar, mixed
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.flatten import flatten
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Circle, Item, Label, Path, Sheet
from bladegeom.drawing.long_table import LongTable
from bladegeom.drawing.ruler import MARGIN
from bladegeom.drilling.card import CAUTIONS, DrillCard
from bladegeom.knife.hole import Hole
from bladegeom.knife.knife import Knife
from bladegeom.knife.revision_id import revision_id
from bladegeom.quantities.lettering import text_width
from bladegeom.quantities.papers import paper
from bladegeom.sheets.drill_sheet import drill_pages
from bladegeom.sheets.drill_view import drill_view
from bladegeom.writers.pdf import pdf_of_sheets

A4, LETTER = paper("A4"), paper("Letter")
REMARK = "OVERRIDDEN by the maker: rim: hole L1 is close"


def swarm() -> Knife:
    """So many holes that the tables run over several pages."""
    holes = [
        Hole(x=-12.0 - 1.7 * i, y=-7.0 - 3.0 * (i % 4), diameter=1.2 + 0.01 * i, purpose="lightening", made="drilled")
        for i in range(45)
    ]
    return specimens.drop_point(holes=tuple(holes), scales=CONTOURED)


def long_name() -> Knife:
    return dataclasses.replace(
        mixed(), name="A rigging knife for the second mate, with his initials on it in small letters"
    )


KNIVES: dict[str, Callable[[], Knife]] = {
    "mixed": mixed,
    "flat, no liners": lambda: mixed(scales=FLAT, taper=()),
    "bare": lambda: mixed(scales=None),
    "thick": lambda: mixed(scales=dataclasses.replace(LINED, thickness=16.0)),
    "swarm": swarm,
    "long name": long_name,
    "chef": lambda: specimens.chef(scales=CONTOURED, fasteners=(at(-40.0, PIN, y=-14.0), at(-80.0, INCH_STANDOFF))),
    "no holes": specimens.petty,
}


@cache
def pages(name: str, size: str = "A4") -> tuple[Sheet, ...]:
    return drill_pages(Design(KNIVES[name]()), (paper(size),), remarks=(REMARK,))


def labels(sheet: Sheet) -> list[Label]:
    return [item for item in sheet.drawing.items if isinstance(item, Label)]


def words(name: str) -> str:
    return " ".join(label.text for sheet in pages(name) for label in labels(sheet))


def ink(item: Item) -> BaseGeometry:
    if isinstance(item, Path):
        return shapely.LineString(flatten(item.curve, 0.02))
    assert isinstance(item, Circle)
    return shapely.Point(item.x, item.y).buffer(item.radius)


def boxes(sheet: Sheet) -> list[BaseGeometry]:
    return [shapely.Polygon(label.corners).buffer(-0.05) for label in labels(sheet)]


ALL = pytest.mark.parametrize("name", quick(KNIVES, "mixed", "swarm", "long name", "chef", "no holes"))
BOTH = pytest.mark.parametrize("size", quick(["A4", "Letter"], "A4"))


@ALL
@BOTH
def test_pages_keep_within_what_a_printer_reaches(name: str, size: str) -> None:
    for sheet in pages(name, size):
        x0, y0, x1, y1 = sheet.drawing.bounds
        assert min(x0, y0) >= MARGIN - 1e-6
        assert x1 <= sheet.width - MARGIN + 1e-6
        assert y1 <= sheet.height - MARGIN + 1e-6


@ALL
@BOTH
def test_texts_keep_off_each_other(name: str, size: str) -> None:
    for sheet in pages(name, size):
        around, texts = boxes(sheet), labels(sheet)
        pairs = shapely.STRtree(around).query(around, predicate="intersects").T.tolist()
        assert [(texts[a].text, texts[b].text) for a, b in pairs if a < b] == []


@ALL
@BOTH
def test_no_line_runs_through_a_text(name: str, size: str) -> None:
    for sheet in pages(name, size):
        around, texts = boxes(sheet), labels(sheet)
        lines = [ink(item) for item in sheet.drawing.items if not isinstance(item, Label)]
        _, struck = shapely.STRtree(around).query(lines, predicate="intersects")
        assert [texts[i].text for i in struck.tolist()] == []


@ALL
def test_every_page_says_whose_it_is_and_what_to_mind(name: str) -> None:
    knife = KNIVES[name]()
    for number, sheet in enumerate(pages(name), start=1):
        text = " ".join(label.text for label in labels(sheet))
        assert f"{knife.name}, revision {revision_id(knife)}, page {number} of {len(pages(name))}" in text
        for line in (REMARK, "Print at 100 %", "starting points; check before drilling", "local rules override"):
            assert line in text


@ALL
def test_every_hole_and_every_row_stands_on_it(name: str) -> None:
    card, text = DrillCard(KNIVES[name]()), words(name)
    for place in card.places:
        assert f"{place.name} {place.along:.2f} ({place.along / 25.4:.3f}) {place.off:.2f}" in text
    told = [label.text for sheet in pages(name) for label in labels(sheet)]
    for number, step in enumerate(card.steps, start=1):
        assert f"{number}" in told
        assert f" {step.operation} ".replace(" ", "") in f" {text} ".replace(" ", "")
        assert step.note.split()[-1] in text
    boxes_to_tick = [
        item for sheet in pages(name) for item in sheet.drawing.items if isinstance(item, Path) and item.closed
    ]
    assert sum(len(item.curve) == 4 for item in boxes_to_tick) == len(card.places) + len(card.steps)
    assert all((line in text) == bool(card.steps) for line in CAUTIONS)


def test_depths_are_told_from_which_face_and_how_far_they_stray() -> None:
    text = words("flat, no liners")
    for stack in DrillCard(KNIVES["flat, no liners"]()).stacks:
        depth = stack.numbers.get("pocket_depth")
        if depth is not None:
            low, nominal, high = (f"{v:.2f} ({v / 25.4:.3f})" for v in (depth.low, depth.nominal, depth.high))
            assert f"{nominal} from the inside face; {low} to {high} at worst" in text
    assert "Scales are drilled as slabs of 8.50 mm" in text


def test_a_knife_without_holes_needs_no_page() -> None:
    assert pages("no holes") == ()


def test_long_tables_run_on() -> None:
    titles = [labels(sheet)[1].text for sheet in pages("swarm")]
    assert sum("holes of the steel" in title for title in titles) >= 2
    assert sum("working order" in title for title in titles) >= 2
    assert sum(title.endswith("continued") for title in titles) == len(titles) - 2


def test_the_view_shows_each_hole_where_the_table_says() -> None:
    for knife in (mixed(), specimens.chef(fasteners=(at(-50.0, PIN, y=-14.0),))):
        card = DrillCard(knife)
        items = list(drill_view(card))
        up = -1.0 if card.datum.side == "spine" else 1.0
        rims = [ink(item) for item in items if isinstance(item, Path) and item.closed]
        for place in card.places:
            centre = shapely.Point(place.along, up * place.off)
            apart = [rim.distance(centre) for rim in rims]
            assert min(abs(d - place.diameter / 2) for d in apart) < 0.02
        # At true size, turned and not mirrored.
        outline = max((i for i in items if isinstance(i, Path)), key=lambda i: ink(i).length).curve
        if len(outline) == len(knife.outline.loop):
            drawn, loop = (shapely.Polygon(flatten(c, 0.005)) for c in (outline, knife.outline.loop))
            assert drawn.area == pytest.approx(loop.area, rel=1e-4)
            assert drawn.exterior.is_ccw == loop.exterior.is_ccw


def test_a_long_blade_is_cut_off_the_view() -> None:
    knife = specimens.chef(holes=(Hole(x=-50.0, y=-14.0, diameter=5.0, purpose="lightening"),))
    assert knife.outline.bounds[2] - knife.outline.bounds[0] > 300
    right = max(item.curve.pieces[..., 0].max() for item in drill_view(DrillCard(knife)) if isinstance(item, Path))
    assert right <= 232.0


def test_the_view_proves_itself_on_paper() -> None:
    """Rasterised, the first hole's rim lies where the straightedge and the square say, in mm."""
    knife = bar(holes=(Hole(x=-50.0, y=-15.0, diameter=12.0, purpose="lightening"),), scales=None)
    (view, *_) = drill_pages(Design(knife), (A4,))
    page = pypdfium2.PdfDocument(io.BytesIO(pdf_of_sheets((view,))))[0]
    assert [page.get_width() / 72 * 25.4, page.get_height() / 72 * 25.4] == pytest.approx([297.0, 210.0], abs=0.01)
    rim = next(i for i in view.drawing.items if isinstance(i, Path) and i.closed and len(i.curve) > 4)
    (x0, y0, x1, _) = ink(rim).bounds
    grey = np.asarray(page.render(scale=10 / (72 / 25.4)).to_pil().convert("L"))
    across = grey[grey.shape[0] - round(10 * (y0 + 6.0 + 1.5))]
    dark = np.flatnonzero(across < 160) / 10
    for x in (x0, x1):
        assert np.abs(dark - x).min() < 0.5


@pytest.mark.parametrize("name", quick(["mixed", "swarm"], "swarm"))
def test_same_knife_same_bytes(name: str) -> None:
    first, second = (pdf_of_sheets(drill_pages(Design(KNIVES[name]()), (A4,))) for _ in range(2))
    assert first == second


def test_cells_are_wrapped_to_their_columns() -> None:
    columns = LongTable(head=("a", "b"), widths=(20.0, 12.0), boxes=(0,))
    rows = [("word " * 30, "x"), ("", "y" * 40)]
    (items,) = columns.pages([("Title", rows)], 200.0, first=200.0)
    texts = [item for item in items if isinstance(item, Label)]
    for label in texts:
        border = 20.0 if label.x < 20.0 else 32.0
        assert label.bold or label.x + text_width(label.text, label.height) <= border
    assert re.sub(r"\s", "", "".join(t.text for t in texts if not t.bold)) == "word" * 30 + "x" + "y" * 40


def test_a_row_that_does_not_fit_goes_to_the_next_page_under_heads_of_its_own() -> None:
    columns = LongTable(head=("a",), widths=(20.0,))
    made = list(columns.pages([("one", [("x",)] * 6), ("two", [("y",)] * 3)], 30.0, first=20.0))
    told = [[item.text for item in page if isinstance(item, Label)] for page in made]
    assert told == [["a", "one", "x", "x"], ["a", "one", "x", "x", "x", "x"], ["a", "two", "y", "y", "y"]]


def test_what_is_only_checked_says_no_through() -> None:
    cut = bar(holes=(Hole(x=-50.0, y=-15.0, diameter=8.0, purpose="lightening"),), scales=None)
    told = [label.text for sheet in drill_pages(Design(cut), (A4,)) for label in labels(sheet)]
    assert "through" not in told
    drilled = bar(at(-50.0, PIN), scales=None)
    assert "through" in [label.text for sheet in drill_pages(Design(drilled), (A4,)) for label in labels(sheet)]


def test_a_card_without_scales_has_no_word_of_slabs() -> None:
    assert "slab" not in words("bare").lower()
    assert "scales are drilled as flat slabs" in words("mixed")


@ALL
@BOTH
def test_every_page_begins_right_under_its_head(name: str, size: str) -> None:
    for sheet in pages(name, size):
        low = min(label.corners[:, 1].min() for label in labels(sheet) if REMARK in label.text or label.height > 3.0)
        below = [item for item in sheet.drawing.items if isinstance(item, Path) and ink(item).bounds[2] < 250.0]
        assert low - max(ink(item).bounds[3] for item in below if ink(item).bounds[3] < low) < 12.0
