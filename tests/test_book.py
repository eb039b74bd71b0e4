"""The bench book: its chapters in order, its pages numbered through and legible, the order in it told whole."""

from __future__ import annotations

import dataclasses
import re
from functools import cache
from pathlib import Path as FilePath

import pytest
import shapely
from draws import draws, quick, quick_rows
from hypothesis import Phase, given
from hypothesis import strategies as st
from orders import asked, knife, order, rich
from read_back import ReadPage, bookmarks, read_pages, require_clear_page

from bladegeom import AddStep, Finish, Operation, Order
from bladegeom.book.order_pages import order_pages
from bladegeom.book.page_kind import printed
from bladegeom.book.printed import Printed, paper_family
from bladegeom.book.register import BOOK, CHAPTERS, page_named
from bladegeom.curves.build import line
from bladegeom.curves.flatten import flatten
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Drawing, Item, Label, Path, Sheet, Window
from bladegeom.drawing.ruler import MARGIN
from bladegeom.order.order_ways import HandCheck, Measured
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.papers import paper
from bladegeom.writers.pdf import pdf_of_sheets

EXAMPLES = FilePath(__file__).resolve().parents[1] / "examples"
NAMES = ("galley_chef", "galley_petty", "kindling_knife", "rigging_knife", "traced_knife")

LEAST_PT = 9.0
"""Of type on a page without anything at true size; what lies on a template may be smaller."""

WORDS = st.text(alphabet="abcdeimnrstuvwWM gjpqy.,;-'ÄÖß", min_size=1, max_size=400).map(lambda text: f"x{text}")
UNBROKEN = st.integers(1, 300).map(lambda count: "W" * count)
FOREIGN = st.text(alphabet="ΑΒγδέώЖЩийŘřőÅåđ ", min_size=1, max_size=200).map(lambda text: f"ή{text}")
TEXT = st.one_of(WORDS, UNBROKEN, FOREIGN)


@cache
def example(name: str) -> Design:
    return Design.from_script(EXAMPLES / f"{name}.py")


def bound(design: Design, name: str) -> Printed:
    return next(iter(printed(design, (BOOK,), (paper_family(name),))))


@cache
def pdf(name: str, size: str) -> bytes:
    made = bound(example(name), size)
    return pdf_of_sheets(made.sheets, chapters=made.chapters)


def is_true_size(page: ReadPage) -> bool:
    return "ALONG" in page.words


ROWS = [(name, size) for name in NAMES for size in ("A4", "Letter")]


@pytest.mark.parametrize(("name", "size"), quick_rows(ROWS, ("galley_petty", "A4"), ("rigging_knife", "Letter")))
def test_a_book_reads_well(name: str, size: str) -> None:
    pages, mark = read_pages(pdf(name, size)), example(name).job_card.mark
    for i, page in enumerate(pages, start=1):
        if not is_true_size(page):
            require_clear_page(page)
            assert page.least_pt >= LEAST_PT, page.words
        assert f"{example(name).knife.name} {mark}, page {i} of {len(pages)}" in page.words


@pytest.mark.parametrize("name", quick(NAMES, "galley_petty", "kindling_knife"))
def test_a_book_holds_every_chapter_that_has_something_to_show(name: str) -> None:
    design, family = example(name), paper_family("A4")
    shown = [row.title for row in CHAPTERS if any(row.draw(design, family, ()))]
    marks = bookmarks(pdf(name, "A4"))
    assert [title for title, _ in marks] == shown
    assert [page for _, page in marks] == sorted({page for _, page in marks})
    assert marks[0][1] == 0


def test_a_number_finds_room_or_the_page_is_refused() -> None:
    wall = tuple(Label(layer="NOTE", x=10.0, y=y, text="W" * 60, height=3.0) for y in range(10, 290, 4))
    full = Sheet(width=210.0, height=297.0, drawing=Drawing(name="full", items=wall))
    with pytest.raises(ExportError, match="no room for 'A, page 1 of 1'"):
        Printed(name="x", sheets=(full,)).numbered("K", "A")


def number_of(*items: Item, name: str = "K", windows: tuple[Window, ...] = ()) -> tuple[list[str], Drawing]:
    """Lines of the number of a page with these items, and the number drawn."""
    page = Sheet(width=210.0, height=297.0, drawing=Drawing(name="page", items=items), windows=windows)
    (made,) = Printed(name="x", sheets=(page,)).numbered(name, "A").sheets
    number = tuple(item for item in made.drawing.items[len(items) :] if isinstance(item, Label))
    return [label.text for label in number], Drawing(name="", items=number)


def outlined(*places: tuple[float, float]) -> Path:
    return Path(layer="CUT", curve=line(*places, places[0]), closed=True)


def test_a_number_stands_beside_a_slanting_knife_though_the_box_around_it_fills_the_page() -> None:
    knife = outlined((10.0, 10.0), (200.0, 240.0), (200.0, 287.0), (150.0, 287.0), (10.0, 60.0))
    told, number = number_of(knife)
    assert told == ["K A, page 1 of 1"]
    border = shapely.Polygon(flatten(knife.curve, 0.1))
    assert shapely.box(*number.bounds).distance(border) >= 1.0 - 1e-6


def test_a_number_keeps_off_what_is_cut_off_at_the_border_of_a_tile() -> None:
    tile = (10.0, 10.0, 200.0, 200.0)
    passing = Drawing(name="", items=(outlined((-500.0, -500.0), (500.0, -500.0), (500.0, 500.0), (-500.0, 500.0)),))
    mark = Label(layer="NOTE", x=20.0, y=280.0, text="head", height=3.0)
    _, number = number_of(mark, windows=(Window(box=tile, drawing=passing),))
    assert number.bounds[1] >= tile[3] + 1.0 - 1e-6


@pytest.mark.parametrize(("letters", "lines"), [(40, 1), (60, 2), (300, 1)])
def test_a_long_name_takes_a_line_of_its_own_or_is_left_to_the_head(letters: int, lines: int) -> None:
    mark = Label(layer="NOTE", x=20.0, y=280.0, text="head", height=3.0)
    told, number = number_of(mark, name="W" * letters)
    assert len(told) == lines
    assert told[-1].endswith("A, page 1 of 1")
    assert ("W" * letters in " ".join(told)) == (letters <= 60)
    assert number.bounds[0] >= MARGIN


def test_a_number_on_a_full_page_goes_without_the_name() -> None:
    wall = (Label(layer="NOTE", x=10.0, y=y, text="W" * 42, height=3.0) for y in range(10, 290, 4))
    assert number_of(*wall, name="W" * 20)[0] == ["A, page 1 of 1"]


def order_text(design: Design, size: str = "A4") -> list[ReadPage]:
    pages = read_pages(pdf_of_sheets(order_pages(design, [paper(size)], remarks=design.job_card.remarks)))
    for page in pages:
        require_clear_page(page)
        assert page.least_pt >= LEAST_PT
    return pages


def test_the_order_is_told_whole() -> None:
    design = Design(knife(), order=rich())
    told = " ".join(page.words for page in order_text(design))
    wanted = rich()
    assert all(requirement.text in told for requirement in wanted.requirements)
    assert all(f"{requirement.number} {requirement.weight}" in told for requirement in wanted.requirements)
    assert all(change.text in told and change.answer in told for change in wanted.changes)
    assert wanted.number in told
    assert wanted.customer in told
    for landing in design.landings:
        if isinstance(landing.way, HandCheck):
            assert f"{landing.way.signed} signs: {landing.way.look}" in told
        elif isinstance(landing.way, Measured) and landing.measured is not None:
            has, low, high = measured_on_paper(told, landing.way.measure)
            # To half a millimetre, as a steel rule tells it, and the balance over a rod to a whole one.
            fine = 0.51 if landing.way.measure == "balance" else 0.26
            assert has == pytest.approx(landing.measured, abs=fine)
            assert (low, high) == pytest.approx(landing.way.limits, abs=fine)
        else:
            key = re.search(r"step ([a-z_]+):", landing.words)
            step = f"step {design.route.keys.index(key[1]) + 1}:" if key else ""
            words = landing.words.removeprefix("design: ")
            assert (words.replace(f"step {key[1]}:", step) if key else words) in told


def measured_on_paper(told: str, measure: str) -> tuple[float, float, float]:
    """A measure and the limits that are wanted, as the order's page has them."""
    number, unit = r"(-?[\d.]+)", r"(?: mm| g| degrees)?(?: \([^)]*\))?"
    if both := re.search(rf"{measure} {number}{unit}, wanted {number} to {number}", told):
        has, low, high = both.groups()
    else:
        one_sided = re.search(rf"{measure} {number}{unit}, wanted (at least|at most) {number}", told)
        assert one_sided, measure
        has, which, limit = one_sided.groups()
        low, high = (limit, "inf") if which == "at least" else ("-inf", limit)
    return float(has), float(low), float(high)


def test_without_an_order_the_book_has_no_page_for_it() -> None:
    assert order_pages(Design(knife()), [paper("A4")]) == ()


def test_a_wish_that_lands_nowhere_is_told_on_every_page() -> None:
    design = Design(knife(), order=order(asked(), asked(2, weight="wish", met=())))
    made = bound(design, "A4")
    assert all("do not land (number 2)" in page.words for page in read_pages(pdf_of_sheets(made.sheets)))


def long_order(called: str, wish: str, caution: str) -> Order:
    return order(asked(text=wish, met=Finish(operation="engrave", finish=caution)), customer=called)


# A smaller failing text would tell no more, and take minutes.
@draws(5, phases=(Phase.generate,))
@given(called=TEXT, wish=TEXT, caution=TEXT, remark=TEXT, size=st.sampled_from(["A4", "Letter"]))
def test_no_name_is_too_long_for_the_order(called: str, wish: str, caution: str, remark: str, size: str) -> None:
    own = Operation(key="engrave", title=wish, tasks=(caution,), cautions=(caution, wish))
    steps = (AddStep(operation=own, before="sharpen"),)
    design = Design(knife(), order=long_order(called, wish, caution), steps=steps)
    for page in read_pages(pdf_of_sheets(order_pages(design, [paper(size)], remarks=(remark,)))):
        require_clear_page(page)
        assert page.least_pt >= LEAST_PT


def test_a_wish_that_no_page_holds_goes_on_over_the_next_ones() -> None:
    words = [f"word{i}" for i in range(3000)]
    pages = order_text(Design(knife(), order=order(asked(text=" ".join(words)))))
    assert re.findall(r"word\d+", " ".join(page.words for page in pages)) == words


def test_a_name_that_leaves_no_room_is_refused() -> None:
    design = Design(dataclasses.replace(knife(), name="W" * 3000), order=rich())
    with pytest.raises(ExportError, match="shorten"):
        order_pages(design, [paper("A4")])


@pytest.mark.parametrize("chapter", ["knife", "route", "template", "grind"])
def test_of_a_tapered_bar_the_edge_is_scribed_before_the_taper(chapter: str) -> None:
    """At the petty's tip, 0.9 mm thick, the distance from one face reaches the other: it holds on the whole bar."""
    design = example("galley_petty")
    straight = Design(dataclasses.replace(design.knife, stock=dataclasses.replace(design.knife.stock, taper=())))
    words = re.compile(r"before the taper is ground|while the bar has its full 2\.00 mm")
    for made, told in ((design, True), (straight, False)):
        sheets = [sheet for drawn in page_named(chapter).draw(made, paper_family("A4"), ()) for sheet in drawn.sheets]
        text = " ".join(page.words for page in read_pages(pdf_of_sheets(sheets)))
        assert bool(words.search(text)) == told


@pytest.mark.parametrize(
    ("example", "most"),
    [
        ("galley_petty", 15),
        *(pytest.param(*each, marks=pytest.mark.long) for each in (("kindling_knife", 15), ("rigging_knife", 17))),
    ],
)
def test_books_stay_short(example: str, most: int) -> None:
    """Nobody carries the 26 sheets that the petty's papers once were."""
    made = bound(Design.from_script(EXAMPLES / f"{example}.py"), "A4")
    assert len(made.sheets) <= most
    if example == "galley_petty":
        first = dict(made.chapters)
        assert first["The route"] - first["The order"] == 1
        assert first["Care"] - first["Inspection"] == 1
        assert first["Drill card"] - first["Template"] == 2
