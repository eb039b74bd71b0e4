"""The drill card on paper: numbers at the holes, every step once, stops at true size, and no text is covered."""

from __future__ import annotations

import dataclasses
import io
import itertools
import re
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path as FilePath

import numpy as np
import pypdfium2
import pytest
import shapely
import specimens
from draws import draws, quick, quick_rows
from fastened import BOLT, CONTOURED, FLAT, GLUED, INCH_STANDOFF, LINED, PIN, SHORT_STANDOFF, at, bar, knives, mixed
from hypothesis import given
from raster import DPI, PIXEL
from read_back import require_clear
from shapely.geometry.base import BaseGeometry

from bladegeom.book.drill_pages import drill_pages
from bladegeom.book.drill_rows import PaperRow, blocks, paper_rows
from bladegeom.book.fit_numbers import fit_tables
from bladegeom.book.hole_numbers import bands
from bladegeom.book.hole_view import HoleView
from bladegeom.book.stop_strip import stops
from bladegeom.curves.flatten import flatten
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import CUT_PEN, Circle, Item, Label, Path, Sheet
from bladegeom.drawing.printer import Printer
from bladegeom.drawing.ruler import MARGIN
from bladegeom.drawing.type_sizes import HEAD, KEY, PT, TEXT
from bladegeom.drilling.card import CAUTIONS, DrillCard, DrilledPlace
from bladegeom.drilling.row import CardRow
from bladegeom.knife.hole import Hole
from bladegeom.knife.knife import Knife
from bladegeom.knife.revision_id import revision_id
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.lettering import EM
from bladegeom.quantities.papers import paper
from bladegeom.quantities.shown import depth_stop, scribed_length
from bladegeom.quantities.unit_order import told_first
from bladegeom.quantities.units import show_both, show_mm
from bladegeom.writers.pdf import pdf_of_sheets

REMARK = "OVERRIDDEN by the maker: rim: hole L1 is close"
EXAMPLES = FilePath(__file__).parent.parent / "examples"
MOST = {"galley_petty": 2, "rigging_knife": 3, "kindling_knife": 2, "galley_chef": 2, "traced_knife": 2}
"""Pages of A4 that the drill card of each example takes at most."""


def swarm() -> Knife:
    """So many holes that their numbers find no room at the drawing."""
    holes = [
        Hole(x=-12.0 - 1.7 * i, y=-7.0 - 3.0 * (i % 4), diameter=1.2 + 0.01 * i, purpose="lightening", made="drilled")
        for i in range(45)
    ]
    return specimens.drop_point(holes=tuple(holes), scales=CONTOURED)


def named(name: str) -> Knife:
    return dataclasses.replace(mixed(), name=name)


def unlike() -> Knife:
    """On a tapered tang no two stacks are alike: their numbers take more lines than a page has."""
    screws = (at(-8.0 - 7.5 * i, SHORT_STANDOFF, y=-15.0) for i in range(12))
    return bar(*screws, scales=LINED, taper=((-95.0, 2.0), (-5.0, 4.0)))


KNIVES: dict[str, Callable[[], Knife]] = {
    "mixed": mixed,
    "flat, no liners": lambda: mixed(scales=FLAT, taper=()),
    "glued liners": lambda: mixed(scales=GLUED),
    "bare": lambda: mixed(scales=None),
    "thick": lambda: mixed(scales=dataclasses.replace(LINED, thickness=16.0)),
    "three bolts": lambda: bar(at(-20.0, BOLT), at(-50.0, BOLT), at(-80.0, BOLT)),
    "long bolts": lambda: bar(at(-20.0, dataclasses.replace(BOLT, stud_length=60.0))),
    "twenty": lambda: bar(*(at(-6.0 - 4.5 * i, PIN, y=-10.0 - 5.0 * (i % 2)) for i in range(20))),
    "swarm": swarm,
    "long name": lambda: named("W" * 300),
    "letters": lambda: named("Jiří's Ölmesser für die Kombüse Μαχαίρι Кухонный нож"),
    "chef": lambda: specimens.chef(scales=CONTOURED, fasteners=(at(-40.0, PIN, y=-14.0), at(-80.0, INCH_STANDOFF))),
    "no holes": specimens.petty,
    "unlike stacks": unlike,
}


@cache
def pages(name: str, size: str = "A4") -> tuple[Sheet, ...]:
    return drill_pages(Design(KNIVES[name]()), (paper(size),), remarks=(REMARK,))


@cache
def example(name: str) -> Design:
    return Design.from_script(EXAMPLES / f"{name}.py")


def labels(sheet: Sheet) -> list[Label]:
    return [item for item in sheet.drawing.items if isinstance(item, Label)]


def close_up(text: str) -> str:
    """Without spaces and capitals, so that it does not matter where a line ends."""
    return re.sub(r"\s", "", text).lower()


def words(sheets: tuple[Sheet, ...]) -> str:
    return close_up(" ".join(label.text for sheet in sheets for label in labels(sheet)))


def ink(item: Item) -> BaseGeometry:
    if isinstance(item, Path):
        places = flatten(item.curve, 0.02)
        return shapely.Polygon(places) if item.filled else shapely.LineString(places)
    assert isinstance(item, Circle)
    return shapely.Point(item.x, item.y).buffer(item.radius)


def boxes(sheet: Sheet) -> list[BaseGeometry]:
    return [shapely.Polygon(label.corners).buffer(-0.05) for label in labels(sheet)]


ALL = pytest.mark.parametrize(
    "name", quick(KNIVES, "mixed", "swarm", "twenty", "long name", "no holes", "unlike stacks")
)
BOTH = pytest.mark.parametrize("size", quick(["A4", "Letter"], "A4"))


def require_sound(sheets: tuple[Sheet, ...]) -> None:
    """Within what a printer reaches, large enough, no text over another and no line through one."""
    for sheet in sheets:
        x0, y0, x1, y1 = sheet.drawing.bounds
        assert min(x0, y0) >= MARGIN - 1e-6
        assert x1 <= sheet.width - MARGIN + 1e-6
        assert y1 <= sheet.height - MARGIN + 1e-6
        around, texts = boxes(sheet), labels(sheet)
        tree = shapely.STRtree(around)
        assert [(texts[a].text, texts[b].text) for a, b in tree.query(around, "intersects").T.tolist() if a < b] == []
        _, struck = tree.query([ink(i) for i in sheet.drawing.items if not isinstance(i, Label)], "intersects")
        assert [texts[i].text for i in struck.tolist()] == []
        assert {label.height for label in texts} <= {TEXT, HEAD, KEY}


@ALL
@BOTH
def test_pages_are_clear_and_within_the_borders(name: str, size: str) -> None:
    require_sound(pages(name, size))
    for sheet in pages(name, size):
        assert (sheet.width, sheet.height) == (paper(size).width, paper(size).height)


@ALL
def test_another_program_reads_no_text_over_another(name: str) -> None:
    if pages(name):
        require_clear(pdf_of_sheets(pages(name)))


@ALL
def test_every_page_says_whose_it_is_and_what_to_mind(name: str) -> None:
    knife = KNIVES[name]()
    for sheet in pages(name):
        text = words((sheet,))
        told = ("Drill card", f"{knife.name}, revision {revision_id(knife)}", REMARK)
        for line in (*told, "starting points; check before drilling", "local rules override"):
            assert close_up(line) in text


@pytest.mark.parametrize(
    ("name", "size"), quick_rows(itertools.product(MOST, ["A4", "Letter"]), ("rigging_knife", "A4"))
)
def test_examples_take_few_pages(name: str, size: str) -> None:
    design = example(name)
    sheets = drill_pages(design, (paper(size),), remarks=design.remarks)
    require_sound(sheets)
    if size == "A4":
        assert len(sheets) <= MOST[name]


def test_three_bolts_take_two_pages() -> None:
    assert len(drill_pages(Design(KNIVES["three bolts"]()), (paper("A4"),))) == 2


# Numbers at the holes


_COLUMN = 30.0
"""Height of a column at most, mm; the next one stands on the other side of the tang."""


def at_hole(sheet: Sheet, place: DrilledPlace) -> dict[float, str]:
    """Texts of the column under or over a hole's name, by their heights on the page."""
    (name,) = (label for label in labels(sheet) if label.text == place.name and label.anchor == "middle")
    column = (x for x in labels(sheet) if x.anchor == "middle" and x.x == name.x and abs(x.y - name.y) < _COLUMN)
    return {label.y: label.text for label in column}


@pytest.mark.parametrize("name", quick(["mixed", "twenty", "three bolts", "chef", "letters"], "mixed", "twenty"))
def test_the_numbers_of_a_hole_stand_in_its_column(name: str) -> None:
    card, sheet = DrillCard(KNIVES[name]()), pages(name)[0]
    for place in card.places:
        column = at_hole(sheet, place)
        told = [text for _, text in sorted(column.items(), reverse=True) if text != place.name]
        shown = (scribed_length(mm) for mm in (place.along, place.off))
        assert told == [text.rpartition(" ")[0] for each in shown for text in (each.first, each.second)]
    heads = [label.text for label in labels(sheet) if label.anchor == "end" and label.text.startswith(("along", "off"))]
    assert set(heads) == {"along, mm", "off, mm"}


def test_the_line_of_each_column_ends_in_its_hole() -> None:
    view = HoleView(DrillCard(mixed()), 190.0)
    sheet = pages("mixed")[0]
    for place in view.card.places:
        (name,) = (label for label in labels(sheet) if label.text == place.name and label.anchor == "middle")
        lines = [i.curve for i in sheet.drawing.items if isinstance(i, Path) and len(i.curve) == 1]
        ((x, _),) = {c.start for c in lines if abs(c.end[0] - name.x) < 1e-6 and abs(c.end[1] - name.y) < 8.0}
        assert x - MARGIN - 3.0 == pytest.approx(view.scale * place.along)


def test_what_is_drilled_here_stands_large_and_what_others_cut_small() -> None:
    far, near = bands(HoleView(DrillCard(example("galley_petty").knife), 190.0))
    assert [column.place.name for column in far] == ["F3", "F2", "F1"]
    assert {column.size for column in far} == {KEY}
    assert {(column.place.made, column.size) for column in near} == {("cut", TEXT)}
    assert KEY * EM / PT >= 14.0
    assert TEXT * EM / PT >= 9.0


def test_of_too_many_holes_each_place_is_told_in_its_row() -> None:
    card, text = DrillCard(swarm()), words(pages("swarm"))
    for place in card.places:
        along, off = (scribed_length(mm).text for mm in (place.along, place.off))
        assert close_up(f"{place.name} along {along}, off {off}") in text


def test_the_drawing_shows_each_hole_where_its_numbers_say() -> None:
    for knife in (mixed(), specimens.chef(fasteners=(at(-50.0, PIN, y=-14.0),)), bar(at(-50.0, PIN))):
        view = HoleView(DrillCard(knife), 190.0)
        items = list(view.items())
        rims = [ink(item) for item in items if isinstance(item, Path) and item.closed]
        for place in view.card.places:
            apart = [rim.distance(shapely.Point(view.at(place))) for rim in rims]
            assert min(abs(d - view.scale * place.diameter / 2) for d in apart) < 0.03
        x0, _, x1, _ = shapely.union_all([ink(item) for item in items if not isinstance(item, Label)]).bounds
        assert x1 - x0 <= 190.0
        # Turned and made larger, not mirrored.
        (a, b, _), (c, d, _) = view.matrix
        assert a * d - b * c == pytest.approx(view.scale**2)
        told = words(drill_pages(Design(knife), (paper("A4"),)))
        assert close_up(f"drawn {view.scale:g} : 1, not to be measured") in told


def test_whichever_unit_is_told_first_is_the_large_one() -> None:
    with told_first("inch"):
        knife = mixed()
        sheets = drill_pages(Design(knife), (paper("A4"),))
        require_sound(sheets)
        card = DrillCard(knife)
        place = next(place for place in card.places if place.made == "drilled")
        told = [text for _, text in sorted(at_hole(sheets[0], place).items(), reverse=True)]
        large, small = scribed_length(place.along).first, scribed_length(place.along).second
        assert large.endswith(" in")
        assert told.index(large.partition(" ")[0]) < told.index(small.partition(" ")[0])
        assert "along,in" in words(sheets)
        for stop in stops(paper_rows(card.steps)):
            assert any(x.text == depth_stop(stop.depth).first and x.height == KEY for s in sheets for x in labels(s))


# Every fact of the card


@ALL
def test_every_fact_of_the_card_stands_on_it(name: str) -> None:
    card, text = DrillCard(KNIVES[name]()), words(pages(name))
    if not card.places:
        assert pages(name) == ()
        return
    for line in (*card.cautions, *card.datum_words):
        assert close_up(line) in text
    for place in card.places:
        assert close_up(place.drill) in text
        assert close_up(f"{place.purpose}, {place.made}") in text
    for step in card.steps:
        require_told(step, text)


def require_told(step: CardRow, text: str) -> None:
    told = [step.operation, step.tool, *re.split(r"(?<=[.?]) (?=[A-Z])", step.note)]
    if step.depth is not None:
        shown = depth_stop(step.depth.nominal)
        told += [f"{shown.first} {shown.second}", f"Stop from the {step.face}"]
        if step.depth.high - step.depth.low > 0.01:
            told.append(f"{show_mm(step.depth.low)} to {show_mm(step.depth.high)} mm")
    for part in told:
        assert close_up(part) in text, part


@ALL
def test_every_step_has_a_box_and_its_number(name: str) -> None:
    card, sheets = DrillCard(KNIVES[name]()), pages(name)
    boxed = [i for s in sheets for i in s.drawing.items if isinstance(i, Path) and i.closed and i.pen == CUT_PEN]
    squares = [ink(item).bounds for item in boxed if len(item.curve) == 4]
    ticks = [b for b in squares if b[2] - b[0] == pytest.approx(5.0) and b[0] == pytest.approx(MARGIN)]
    assert len(ticks) == len(card.steps)
    told = {label.text.split()[0] for sheet in sheets for label in labels(sheet) if label.bold and label.text}
    assert {f"{number}" for number in range(1, len(card.steps) + 1)} <= told


def test_whatever_is_measured_at_several_places_has_a_named_line_for_each() -> None:
    five = bar(*(at(-15.0 - 17.0 * i, BOLT) for i in range(5)))
    sheets = drill_pages(Design(five), (paper("A4"),))
    require_sound(sheets)
    found = {
        label.text for sheet in sheets for label in labels(sheet) for line in written(sheet) if before(label, line)
    }
    assert found == {"F1", "F2", "F3", "F4", "F5", "right", "left"}
    bare = drill_pages(Design(bar(at(-50.0, BOLT))), (paper("A4"),))
    assert {x.text for s in bare for x in labels(s) for line in written(s) if before(x, line)} == {"right", "left"}


def written(sheet: Sheet) -> list[BaseGeometry]:
    """Lines to write on, which no hand needs to squeeze a number into."""
    level = (ink(i) for i in sheet.drawing.items if isinstance(i, Path) and not i.closed and len(i.curve) == 1)
    return [line for line in level if line.length == pytest.approx(30.0) and line.bounds[1] == line.bounds[3]]


def before(label: Label, line: BaseGeometry) -> bool:
    left, y, _, _ = line.bounds
    return abs(label.y - y) < 1e-6 and label.x + label.width < left < label.x + label.width + 4.0


@draws(100)
@given(knives())
def test_each_step_of_any_knife_is_in_one_row_with_its_like(knife: Knife) -> None:
    steps = DrillCard(knife).steps
    rows = paper_rows(steps)
    numbers = [step.number for row in rows for step in row.steps]
    assert sorted(numbers) == list(range(1, len(steps) + 1))
    assert [row.steps[0].number for row in rows] == sorted(row.steps[0].number for row in rows)
    assert [row for block in blocks(rows) for row in block.rows] == list(rows)
    for row in rows:
        for step in row.steps:
            assert step.row == steps[step.number - 1]
            assert (step.row.tool, step.row.phase, step.row.face) == (row.row.tool, row.row.phase, row.row.face)
            assert set(re.split(r"(?<=[.?]) (?=[A-Z])", step.row.note)) <= set(sentences(row))


def sentences(row: PaperRow) -> Iterator[str]:
    for text in re.split(r"(?<=[.?]) (?=[A-Z])", row.note):
        yield text
        yield re.sub(r"^[^:]*: ", "", text)


def test_both_scales_are_one_row_where_they_are_drilled_alike() -> None:
    rows = paper_rows(DrillCard(mixed()).steps)
    pairs = [row for row in rows if [step.label for step in row.steps] == ["right", "left"]]
    assert {step.row.part for row in pairs for step in row.steps} == {"right scale", "left scale"}
    assert pairs[0].others == tuple(
        f"left: {step.row.operation}" for step in pairs[0].steps[1:] if "take the right scale off" in step.row.operation
    )
    assert len(pairs[0].others) == 1
    unlike = DrillCard(mixed()).steps
    changed = [dataclasses.replace(s, note="own") if s.part == "left scale" else s for s in unlike]
    assert all(len(row.steps) == 1 for row in paper_rows(changed) if "scale" in row.part and "both" not in row.part)


def test_holes_that_are_sunk_one_after_the_other_tell_their_order() -> None:
    rows = paper_rows(example("rigging_knife").drill_card.steps)
    bored = next(row for row in rows if row.row.operation.startswith("counterbore"))
    assert [(step.number, step.label) for step in bored.steps] == [(25, "F1"), (27, "F2")]
    assert bored.order == "In this order: 25, 26; 27, 28."
    sunk = rows[rows.index(bored) + 1]
    assert [step.number for step in sunk.steps] == [26, 28]
    assert "F1: Check: the cone meets the screw's hole 3.46 mm" in sunk.note
    assert sunk.note.count("Try a screw.") == 1


def test_a_card_without_scales_has_no_word_of_slabs() -> None:
    assert "slab" not in words(pages("bare"))
    assert close_up("scales are drilled as flat slabs") in words(pages("mixed"))
    assert all(line in " ".join(label.text for s in pages("bare") for label in labels(s)) for line in CAUTIONS)


def test_what_is_only_checked_says_no_through() -> None:
    cut = bar(holes=(Hole(x=-50.0, y=-15.0, diameter=8.0, purpose="lightening"),), scales=None)
    assert "rightthrough" not in words(drill_pages(Design(cut), (paper("A4"),)))
    assert "rightthrough" in words(drill_pages(Design(bar(at(-50.0, PIN), scales=None)), (paper("A4"),)))


# Numbers of the stacks


@pytest.mark.parametrize("name", quick(KNIVES, "mixed", "flat, no liners", "long bolts"))
def test_every_number_of_every_stack_is_told_with_its_worst_case_and_limit(name: str) -> None:
    text, card = words(pages(name)), DrillCard(KNIVES[name]())
    tables = list(fit_tables(card.stacks))
    told = sorted(name for table in tables for name in table.names)
    assert told == (sorted(stack.layers.name for stack in card.stacks) if card.knife.scales else [])
    for table, stack in ((t, s) for t in tables for s in card.stacks if s.layers.name in t.names):
        lines = {row.words: row.lines for row in table.rows}
        for group in table.groups:
            if stack not in group.stacks:
                continue
            for key, number in stack.numbers.items():
                line = group.line(key)
                assert line is not None
                assert abs(float(re.split(r"[ (]", line.nominal)[0]) - number.nominal) <= 0.011
                assert close_up(f"{line.nominal}{line.worst}") in text
            for limit in stack.limits:
                assert any(show_mm(limit.least) == each.least for each_lines in lines.values() for each in each_lines)
    assert ("sectionthrough" in text) == any(table.has_stops for table in tables)


def test_what_differs_between_two_of_a_kind_is_told_by_name_and_the_rest_once() -> None:
    (table,) = (t for t in fit_tables(example("rigging_knife").stacks) if t.has_stops)
    rows = {row.words: [(line.names, line.nominal) for line in row.lines] for row in table.rows}
    assert rows["pocket"] == [("", show_both(4.25))]
    assert rows["counterbore from the slab"] == [("F1", show_both(2.05)), ("F2", show_both(1.3))]
    assert [line.worst for row in table.rows for line in row.lines if row.words == "screw over all"] == [
        "sold: 5/16 in",
        "sold: 3/8 in",
    ]


def test_rods_have_no_section() -> None:
    assert "sectionthrough" not in words(drill_pages(example("galley_petty"), (paper("A4"),)))


# Stops at true size


def strips(sheets: tuple[Sheet, ...]) -> list[tuple[Sheet, int, float, float, str]]:
    """Page, its number, and middle and lower edge of each black block in mm, with the number over it."""
    out = []
    for i, sheet in enumerate(sheets):
        for item in sheet.drawing.items:
            if isinstance(item, Path) and item.filled and ink(item).bounds[2] - ink(item).bounds[0] > 10.0:
                x0, y0, x1, _ = ink(item).bounds
                over = [x for x in labels(sheet) if x.height == KEY and 0 < x.y - y0 < 60 and abs(x.x - x0) < 10.0]
                out.append((sheet, i, (x0 + x1) / 2, y0, min(over, key=lambda label: label.y).text))
    return out


@pytest.mark.parametrize("name", quick(["mixed", "glued liners", "thick", "three bolts"], "mixed"))
def test_stop_heights_measure_true_on_paper(name: str) -> None:
    require_true(DrillCard(KNIVES[name]()), pages(name))


def test_stop_heights_are_corrected_for_a_printer() -> None:
    printer = Printer(across=99.0, along=98.0)
    design = example("rigging_knife")
    sheets = tuple(map(printer.corrected, drill_pages(design, (printer.room(paper("A4")),))))
    require_true(design.drill_card, sheets)


def require_true(card: DrillCard, sheets: tuple[Sheet, ...]) -> None:
    """At 600 dpi the black under each number is as high as the card's stop, within half a pixel."""
    document = pypdfium2.PdfDocument(io.BytesIO(pdf_of_sheets(sheets)))
    wanted = {depth_stop(step.depth.nominal).first: step.depth.nominal for step in card.steps if step.depth}
    found = strips(sheets)
    assert {told for *_, told in found} == {told for told, depth in wanted.items() if depth >= 0.3}
    for sheet, i, x, y, told in found:
        picture = document[i].render(scale=DPI / 72, grayscale=True).to_numpy()
        grey = 255.0 - picture.reshape(*picture.shape[:2], -1)[:, :, 0]
        (a, b), (c, d) = sheet.scale, sheet.shift
        column = grey[:, round((a * x + c) / PIXEL)] / 255
        row = round(len(column) - (b * (y + wanted[told] / 2) + d) / PIXEL)
        assert column[row] == 1.0
        low = row + int(np.argmax(column[row:] == 0))
        high = row - int(np.argmax(column[row::-1] == 0))
        assert column[high + 1 : low].sum() * PIXEL == pytest.approx(b * wanted[told], abs=PIXEL / 2)


def test_the_bar_beside_the_strip_measures_true() -> None:
    sheets = pages("mixed")
    bars = [
        (i, item.curve)
        for i, sheet in enumerate(sheets)
        for item in sheet.drawing.items
        if isinstance(item, Path) and item.pen == CUT_PEN and len(item.curve) == 1
    ]
    upright = [(i, c) for i, c in bars if c.start[0] == c.end[0]]
    assert sorted(abs(c.end[1] - c.start[1]) for _, c in upright) == pytest.approx([25.4, 25.4, 30.0, 30.0])
    document = pypdfium2.PdfDocument(io.BytesIO(pdf_of_sheets(sheets)))
    for i, curve in upright:
        picture = document[i].render(scale=DPI / 72, grayscale=True).to_numpy()
        grey = 255.0 - picture.reshape(*picture.shape[:2], -1)[:, :, 0]
        size = abs(curve.end[1] - curve.start[1])
        # So far from the bar only the long ticks reach.
        x = curve.start[0] + (-2.8 if size > 26.0 else 2.8)
        ends = [middle_of_ink(grey[:, round(x / PIXEL)], len(grey) - y / PIXEL) for _, y in (curve.start, curve.end)]
        assert abs(ends[0] - ends[1]) * PIXEL == pytest.approx(size, abs=PIXEL / 2)


def middle_of_ink(column: np.ndarray[tuple[int, ...], np.dtype[np.float64]], at: float) -> float:
    """Within 1 mm of a place, pixels."""
    near = np.arange(round(at) - 24, round(at) + 25)
    assert column[near].sum() > 255
    return float(near @ column[near] / column[near].sum())


def test_only_the_page_with_the_strip_asks_to_be_printed_at_its_size() -> None:
    for name in ("mixed", "swarm"):
        with_strip = {i for _, i, *_ in strips(pages(name))}
        told = {i for i, sheet in enumerate(pages(name)) if "printat100%" in words((sheet,))}
        assert told == set(sorted(with_strip)[:1])
    assert strips(pages("swarm")) == []


def test_stops_that_read_alike_are_one_height() -> None:
    many = stops(paper_rows(example("rigging_knife").drill_card.steps))
    assert [(depth_stop(stop.depth).first, stop.holes, stop.steps) for stop in many] == [
        ("1.3 mm", ("F2",), (27,)),
        ("1.41 mm", ("F1", "F2"), (26, 28)),
        ("1.91 mm", ("T1",), (12, 18)),
        ("2.05 mm", ("F1",), (25,)),
        ("2.76 mm", ("F1", "F2"), (15, 21)),
        ("4.25 mm", ("F1", "F2"), (24,)),
    ]


def test_a_name_that_leaves_no_room_is_refused() -> None:
    with pytest.raises(ExportError, match="shorten them"):
        drill_pages(Design(named("W " * 3000)), (paper("A4"),))


@pytest.mark.parametrize("name", quick(["mixed", "swarm"], "swarm"))
def test_same_knife_same_bytes(name: str) -> None:
    first, second = (pdf_of_sheets(drill_pages(Design(KNIVES[name]()), (paper("A4"),))) for _ in range(2))
    assert first == second
