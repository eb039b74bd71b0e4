"""The knife on one page: readable, clear, with the numbers of the sheets that it sums up."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Sequence
from pathlib import Path
from typing import Literal

import any_knives
import numpy as np
import orders
import pytest
import specimens
from draws import draws
from hypothesis import given, reject
from hypothesis import strategies as st
from read_back import read_pages, require_clear

from bladegeom.book.first_layout import FirstLayout
from bladegeom.book.first_page import first_page
from bladegeom.book.first_words import hardware_lines
from bladegeom.book.fit_numbers import fit_tables
from bladegeom.book.register import CHAPTERS
from bladegeom.book.route_pages import route_pages
from bladegeom.book.shortened import Lists, ShortList, shortened
from bladegeom.book.side_view import MOST_NAMED
from bladegeom.book.three_sections import told_stations
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Drawing, Label, Sheet
from bladegeom.drawing.drawing import Path as DrawnPath
from bladegeom.drawing.printer import Printer
from bladegeom.drawing.ruler import MARGIN
from bladegeom.drawing.type_sizes import KEY, TEXT
from bladegeom.drilling.card import drill_card
from bladegeom.grinding.blade_size import height_at_heel
from bladegeom.grinding.grind_sheet import grind_sheet
from bladegeom.grinding.thickness import thickness
from bladegeom.knife.bevels.face import Face
from bladegeom.knife.bevels.flat import FlatBevel, FullFlat
from bladegeom.knife.bevels.round import ConvexBevel, ConvexEdge, HollowBevel
from bladegeom.knife.grind import Flank, Grind, Plunge
from bladegeom.knife.hole import Hole
from bladegeom.knife.knife import Knife
from bladegeom.knife.stock import Stock
from bladegeom.order.order_ways import Measured
from bladegeom.outline.outline import join_halves
from bladegeom.profiles import get
from bladegeom.quantities.errors import BladegeomError
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.number_alone import alone
from bladegeom.quantities.papers import paper
from bladegeom.quantities.shown import (
    balance_place,
    caliper_length,
    gauge_angle,
    rule_length,
    scale_mass,
    scribed_length,
    sold_thickness,
)
from bladegeom.quantities.steel_treatments import heat_treatment
from bladegeom.quantities.tolerances import FINE_CHORD
from bladegeom.quantities.unit_order import told_first
from bladegeom.settings.settings import Settings
from bladegeom.sheets.section import blade_section
from bladegeom.workshop.work import Work
from bladegeom.writers.pdf import pdf_of_sheets

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
NAMES = ("rigging_knife", "galley_petty", "galley_chef", "kindling_knife", "traced_knife")

Taper = tuple[tuple[float, float], ...]

LEAST_PT = 9.0
"""No type under it, in points; key numbers have 14 and more."""

NEAR_BORDER = 6.0
"""No ink nearer to the border of the paper, mm."""

REMARK = "NOT RELEASED, errors stand: some-code. See the report."


def example(name: str, units: Literal["mm", "inch"] = "mm") -> Design:
    return Design.from_script(EXAMPLES / f"{name}.py", settings=Settings(units=units))


def ground(
    bevel: Face | tuple[Face, ...], *, only: Flank | None = None, steel: str = "1084", taper: Taper = ()
) -> Knife:
    outline = join_halves(get("petty")(), get("straight")())
    return Knife(
        name="specimen",
        outline=outline,
        stock=Stock(steel=steel, thickness=3.0, taper=taper),
        grind=Grind(bevel=bevel, plunge=Plunge(x=outline.heel[0], radius=2.0), only=only),
    )


def drilled(count: int) -> Knife:
    holes = tuple(Hole(x=-8 - 2.4 * i, y=-8 - (i % 2) * 6, diameter=1.5, purpose="lightening") for i in range(count))
    return dataclasses.replace(ground(FlatBevel(height=16.0, edge_thickness=0.3)), holes=holes)


def page(design: Design, name: str = "A4", remarks: Sequence[str] = ()) -> Sheet:
    with design.settings.in_force():
        (sheet,) = first_page(design, [paper(name)], remarks=remarks)
    return sheet


def require_readable(sheet: Sheet) -> None:
    """Texts clear of each other, none small, no ink near the border, nothing but black."""
    pdf = pdf_of_sheets((sheet,))
    require_clear(pdf)
    assert read_pages(pdf)[0].least_pt >= LEAST_PT
    x0, y0, x1, y1 = sheet.drawing.bounds
    assert min(x0, y0, sheet.width - x1, sheet.height - y1) >= NEAR_BORDER
    assert not any(item.pen.grey for item in sheet.drawing.items if not isinstance(item, Label))


def texts(sheet: Sheet, height: float | None = None) -> list[str]:
    labels = (item for item in sheet.drawing.items if isinstance(item, Label))
    return [label.text for label in labels if height is None or label.height == height]


def words(sheet: Sheet) -> str:
    return " ".join(texts(sheet))


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("size", ["A4", "Letter"])
@pytest.mark.parametrize("name", NAMES)
def test_every_example_stands_readable_on_one_upright_page(name: str, size: str, units: Literal["mm", "inch"]) -> None:
    sheet = page(example(name, units), size, (REMARK,))
    require_readable(sheet)
    assert sheet.height > sheet.width
    assert REMARK in texts(sheet)


@pytest.mark.parametrize("name", NAMES)
def test_numbers_that_are_worked_to_are_large_and_those_of_the_sheets(name: str) -> None:
    design = example(name)
    knife, sheet, large = design.knife, design.grind_sheet, texts(page(design), KEY)
    x0, _, x1, _ = knife.outline.bounds
    rough = knife.grind.rough_edge
    told = (
        rule_length(x1 - x0),
        rule_length(knife.outline.tip[0]),
        caliper_length(height_at_heel(knife)),
        sold_thickness(knife.stock.thickness),
        gauge_angle(sheet.first.angle_deg),
        scale_mass(design.weighing.total.amount),
        balance_place(abs(design.weighing.balance_from_front)),
        caliper_length(knife.grind.edge_thickness),
        caliper_length(sheet.scribe_offsets("finished")[0]),
        *((caliper_length(rough), caliper_length(sheet.scribe_offsets("rough")[0])) if rough else ()),
    )
    assert [shown.text for shown in told if shown.first not in large] == []


@pytest.mark.parametrize("name", NAMES)
def test_holes_and_sections_are_told_as_on_their_sheets(name: str) -> None:
    design = example(name)
    small = texts(page(design), TEXT)
    for place in design.drill_card.places:
        assert place.name in small
        for shown in (scribed_length(place.along), scribed_length(place.off), caliper_length(place.diameter)):
            assert alone(shown).text in small
    stations = told_stations(design.grind_sheet)
    assert len(stations) == 3
    assert all(alone(scribed_length(station.x)).text in small for station in stations.values())


def test_thickness_beside_a_section_is_that_of_the_wedge() -> None:
    """Closed form: on a flat bevel the edge, and twice the height times the tangent of the angle a side."""
    design = example("rigging_knife")
    angle = (design.knife.stock.thickness - 0.4) / 2 / 17.0
    assert alone(caliper_length(0.4 + 2 * 10.0 * angle)).text in texts(page(design), TEXT)


BEVELS: dict[str, Face | tuple[Face, ...]] = {
    "flat": FlatBevel(height=16.0, edge_thickness=0.3),
    "full flat": FullFlat(edge_thickness=0.3),
    "hollow": HollowBevel(wheel_diameter=254.0, height=16.0, edge_thickness=0.3),
    "convex": ConvexBevel(height=20.0, edge_thickness=0.5, bulge=0.2),
    "two faces": (
        flat := FullFlat(edge_thickness=0.4),
        ConvexEdge(under=flat, height=5.0, edge_thickness=0.25, bulge=0.01),
    ),
}


@pytest.mark.parametrize("only", [None, "left"])
@pytest.mark.parametrize("bevel", BEVELS)
def test_every_bevel_on_both_sides_and_on_one(bevel: str, only: Flank | None) -> None:
    sheet = page(Design(ground(BEVELS[bevel], only=only)))
    require_readable(sheet)
    told = words(sheet)
    assert ("on the left side" in told) == (only == "left")
    assert ("from the left face" in told) == (only == "left")
    assert ("chord's bevel angle" in told) == (bevel in ("hollow", "convex"))
    assert "Holes" not in told


def test_one_side_alone_on_tapered_stock_is_scribed_from_both_faces() -> None:
    taper = ((0.0, 3.0), (120.0, 1.5))
    told = words(page(Design(ground(FullFlat(edge_thickness=0.3), only="right", taper=taper))))
    assert re.search(r"from the right face, [\d.]+ mm \([\d.]+ in\) from the other", told)
    assert "Bar tapered" in told


def test_a_metal_that_is_not_hardened_has_no_heat_treatment() -> None:
    told = words(page(Design(ground(FlatBevel(height=16.0, edge_thickness=0.3), steel="Ti-6Al-4V"))))
    assert "Heat treatment" not in told
    assert "hardening" not in told
    assert "edge ground to size" in told


@pytest.mark.parametrize("units", ["mm", "inch"])
def test_rods_are_sawn_to_one_length_on_every_sheet(units: Literal["mm", "inch"]) -> None:
    """21.5 mm is 0.84646 in: 0.846 in, or 27/32 in (0.84375 in), would end short."""
    design = example("galley_petty", units)
    with told_first(units):
        card = drill_card(design.knife)
        (page_one,) = (line for line in hardware_lines(design.knife) if "sawn" in line)
        (saw,) = (step.operation for step in card.steps if step.operation.startswith("saw to"))
        (row,) = (row for table in fit_tables(card.stacks) for row in table.rows if row.words == "rod as sawn")
    told = ("21.50 mm", "0.847 in") if units == "mm" else ("0.847 in", "21.50 mm")
    assert f"sawn {told[0]} ({told[1]})" in page_one
    assert f"saw to {told[0]} ({told[1]})" in saw
    assert row.lines[0].nominal == f"{told[0].split()[0]} ({told[1].split()[0]})"


def test_mass_is_told_with_its_stage_and_a_single_temper_is_not_each() -> None:
    told = words(page(example("kindling_knife")))
    assert "before sharpening; steel alone" in told
    knife = ground(FlatBevel(height=16.0, edge_thickness=0.3), steel="O1")
    for count, tempered in ((1, "Temper once, 2 h;"), (2, "Temper twice, 2 h each;")):
        treatment = dataclasses.replace(heat_treatment("O1"), temper_count=count)
        assert tempered in words(page(Design(knife, work=Work(treatment=treatment))))


def test_a_hidden_tang_says_what_its_numbers_lack() -> None:
    outline = join_halves(get("drop_point")(), get("stick_tang")())
    sheet = page(Design(specimens.ground(outline, height=12.0)))
    require_readable(sheet)
    told = words(sheet)
    assert "length of the steel" in told
    assert "mass, knife without its handle block" in told
    assert "overall length" not in told


def test_the_musts_stand_in_the_customers_words_and_wishes_do_not() -> None:
    design = example("galley_petty")
    told = words(page(design))
    assert design.order is not None
    for wanted in design.order.requirements:
        first = " ".join(wanted.text.split()[:5])
        assert (first in told) == (wanted.weight == "must"), first


def test_a_must_that_is_missed_says_so() -> None:
    wanted = orders.order(orders.asked(1, text="light", met=Measured(measure="mass", high=10.0)))
    assert "light (NOT MET)" in texts(page(Design(orders.knife(), order=wanted)))


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_what_a_page_does_not_hold_is_counted_and_pointed_to(size: str) -> None:
    wanted = [orders.asked(i, text=f"wish {i} " * 8, met=Measured(measure="mass", high=900.0)) for i in range(1, 41)]
    design = Design(drilled(40), order=orders.order(*wanted))
    sheet = page(design, size, (REMARK,))
    require_readable(sheet)
    small = texts(sheet, TEXT)
    for chapter, names in (
        ("Drill card", [f"L{i}" for i in range(1, 41)]),
        ("The order", list(map(str, range(1, 41)))),
    ):
        (left,) = [int(found[1]) for text in small if (found := re.fullmatch(rf"and (\d+) more: {chapter}", text))]
        told = names[: 40 - left]
        assert 3 < len(told) <= MOST_NAMED
        assert set(told) <= set(small)
    assert small.count("L31") == 0


def test_fifteen_holes_are_named_in_two_rows_and_no_line_runs_through_a_name() -> None:
    require_readable(page(Design(drilled(28))))


@pytest.mark.parametrize("text", ["W" * 300, "Příliš žluťoučký kůň " * 12, "Διάμετρος длина " * 15])
def test_no_name_is_too_long(text: str) -> None:
    wanted = orders.order(*(orders.asked(i, text=text) for i in range(1, 9)), customer=text)
    design = Design(dataclasses.replace(orders.knife(), name=text[:150].strip()), order=wanted)
    sheet = page(design, remarks=(text,))
    require_readable(sheet)
    assert any(line.endswith("The order") for line in texts(sheet, TEXT))


def test_a_name_that_leaves_no_room_is_refused_in_a_sentence() -> None:
    design = Design(dataclasses.replace(orders.knife(), name="W" * 900))
    with pytest.raises(ExportError, match="larger paper"):
        page(design)


STANDING = "NOT RELEASED, errors stand: " + ", ".join(f"some-code-{i}" for i in range(12)) + ". See the report."


def tall() -> Design:
    """A cleaver with a full tang, all that a view is high for, and lists beside it."""
    wanted = orders.order(*(orders.asked(i, text=f"wish {i} " * 4) for i in range(1, 9)))
    outline = join_halves(get("cleaver")(), get("straight")())
    return Design(specimens.ground(outline, height=20.0), order=wanted)


def view_height(sheet: Sheet) -> float:
    """Of the outline, the first thing that is drawn closed."""
    outline = next(item for item in sheet.drawing.items if isinstance(item, DrawnPath) and item.closed)
    _, low, _, high = Drawing(name="", items=(outline,)).bounds
    return high - low


@pytest.mark.parametrize("size", ["A4", "Letter"])
@pytest.mark.parametrize("lines", range(0, 21, 4))
def test_however_long_its_remarks_the_page_comes_with_them(size: str, lines: int) -> None:
    """What a chapter's head may hold is held here too: the view shrinks, then there are two pages."""
    remarks = (STANDING, *("OVERRIDDEN by the maker.",) * lines)
    design, on = tall(), paper(size)
    try:
        route_pages(design, [on], remarks=remarks)
    except ExportError:
        with pytest.raises(ExportError, match="more than a third"):
            first_page(design, [on], remarks=remarks)
        return
    sheets = first_page(design, [on], remarks=remarks)
    assert len(sheets) <= 2
    for sheet in sheets:
        require_readable(sheet)
        assert "NOT RELEASED" in words(sheet)
        assert "See the report." in words(sheet)
    assert "Musts of order" in " ".join(map(words, sheets))
    assert "Numbers are starting points" in words(sheets[-1])


def test_remarks_shrink_the_view_before_the_page_goes_over_to_a_second() -> None:
    pages = [first_page(tall(), [paper("Letter")], remarks=(REMARK,) * n) for n in range(17)]
    counts, heights = [len(sheets) for sheets in pages], [view_height(sheets[0]) for sheets in pages]
    assert counts == sorted(counts)
    assert set(counts) == {1, 2}
    on_one = heights[: counts.index(2)]
    assert on_one == sorted(on_one, reverse=True)
    assert on_one[-1] < on_one[0]
    assert heights[-1] == pytest.approx(heights[0])


@pytest.mark.parametrize("reading", [90.0, 99.6, 110.0])
def test_the_page_is_drawn_for_every_printer(reading: float) -> None:
    room = Printer(across=reading, along=reading).room(paper("A4"))
    pdf = pdf_of_sheets(first_page(Design(orders.knife(), order=orders.rich()), [room]))
    assert len(read_pages(pdf)) == 1
    require_clear(pdf)


def test_a_paper_narrower_than_a4_is_refused_with_what_is_needed_and_what_it_has() -> None:
    with pytest.raises(ExportError, match=r"from 188\.00 mm .* A5 has 148\.00 mm .*: name a larger paper"):
        first_page(Design(orders.knife()), [paper("A5")])


@pytest.mark.parametrize(("blade", "height"), [("petty", 29.0), ("chef", 48.0), ("cleaver", 84.0)])
def test_height_at_the_heel_is_what_the_profile_is_drawn_with(blade: str, height: float) -> None:
    profile = get(blade)(height=height) if blade != "cleaver" else get(blade)()
    assert height_at_heel(specimens.ground(join_halves(profile, get("straight")()))) == pytest.approx(height, abs=0.2)


ROWS = st.lists(st.integers(1, 3), max_size=20)


@draws(50)
@given(counts=st.lists(ROWS, min_size=1, max_size=4), room=st.integers(4, 120))
def test_the_longest_list_is_cut_first_and_nothing_is_cut_that_fits(counts: list[list[int]], room: int) -> None:
    lists = {f"{i}": whole(rows) for i, rows in enumerate(counts)}
    kept = shortened(lists, taken, room)
    assert taken(kept) <= room
    if taken(lists) <= room:
        assert kept == lists
    longest = max(each.lines for each in kept.values())
    for name, each in kept.items():
        if each.pointer:
            assert taken({**kept, name: each.by(1)}) > room
            # With its last row, of three lines at most, it was as long as any. That of whichever was cut last left at
            # most two lines free, which another list may have been given back.
            assert each.lines + 3 + 2 >= longest
            assert each.pointer.endswith(f"{len(each.rows) - each.shown} more: elsewhere")


def whole(rows: list[int]) -> ShortList:
    return ShortList(rows=tuple(("line",) * count for count in rows), where="elsewhere", shown=len(rows))


def taken(lists: Lists) -> float:
    return float(sum(each.lines for each in lists.values()))


@draws(20)
@given(data=st.data(), size=st.sampled_from(["A4", "Letter"]))
def test_any_knife_stands_readable_on_one_page(data: st.DataObject, size: str) -> None:
    try:
        knife = data.draw(any_knives.knives())
    except BladegeomError:
        # No knife at all, which the library says itself.
        reject()
    require_readable(page(Design(knife), size))


def test_a_section_where_hollows_have_cut_through_is_drawn() -> None:
    outline = join_halves(get("chopper")(), get("straight")())
    hollow = HollowBevel(wheel_diameter=254.0, height=28.0, edge_thickness=0.4)
    knife = dataclasses.replace(
        specimens.ground(outline, thickness=2.8), grind=Grind(bevel=hollow, plunge=Plunge(x=outline.heel[0]))
    )
    last = grind_sheet(knife).stations[-1]
    gone = np.array([0.5, 0.9]) * last.reach
    assert (thickness(knife, "finished", *last.place(gone), chord=FINE_CHORD) == 0).any()
    section = blade_section(knife, last, "finished")
    assert section.start == section.end
    require_readable(page(Design(knife)))


def test_chapters_that_hold_the_rest_are_in_the_book() -> None:
    design = Design(drilled(40), order=orders.rich())
    layout = FirstLayout(design, MARGIN, 200.0, 270.0, is_wide=False)
    titles = {chapter.title for chapter in CHAPTERS}
    assert {each.where for each in layout.lists.values()} <= titles
    assert "The route" in titles


def test_stations_have_the_numbers_of_the_grind_sheet() -> None:
    """A thickness that is read at station 3 of one page is that of station 3 of the other."""
    design = example("rigging_knife")
    whole = design.grind_sheet.stations
    told = told_stations(design.grind_sheet)
    assert all(station is whole[number - 1] for number, station in told.items())
    assert list(told) != [1, 2, 3], "else this knife proves nothing"
    ringed = [label.text for label in page(design).drawing.items if isinstance(label, Label) and label.bold]
    assert all(ringed.count(f"{number}") == 2 for number in told)


def test_on_tapered_stock_the_edge_is_scribed_before_the_taper() -> None:
    """At the tip the tapered bar is 0.9 mm thick: 0.90 mm from its faces would be the other face."""
    said = "before the taper is ground"
    assert said in words(page(example("galley_petty")))
    assert said not in words(page(example("rigging_knife")))


def test_a_temper_within_what_is_to_be_avoided_says_so() -> None:
    """O1 at 58 to 60 HRC is tempered at 279 C, where it grows brittle: from 230 C on, by the table of its steel."""
    knife = ground(FlatBevel(height=16.0, edge_thickness=0.3), steel="O1")
    assert ": it is, see The route" in words(page(Design(knife, work=Work(hardness=(58.0, 60.0)))))
    assert "it is, see" not in words(page(Design(knife, work=Work(hardness=(60.0, 62.0)))))
