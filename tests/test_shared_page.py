"""Several pieces on one page: each whole, at true size, apart from the others, under all their lines once."""

from __future__ import annotations

import itertools
from pathlib import Path as FilePath

import pytest
import shapely
from draws import draws
from hypothesis import given
from hypothesis import strategies as st

from bladegeom.book.register import BOOK
from bladegeom.curves.build import line
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Drawing, Label, Path
from bladegeom.drawing.page_frame import least_taken
from bladegeom.drawing.ruler import MARGIN
from bladegeom.drawing.shared_page import SharedPages, shared_page
from bladegeom.drawing.sheet import PagePiece
from bladegeom.quantities.papers import paper
from bladegeom.sheets.blade_sheet import blade_pages

EXAMPLES = FilePath(__file__).resolve().parent.parent / "examples"

SIZES = st.tuples(st.floats(5.0, 270.0), st.floats(5.0, 90.0))
HEADS = st.lists(st.sampled_from(("stock", "scales", "bar and edge")), unique=True, max_size=3)


def card(width: float, height: float, head: list[str] | None = None) -> PagePiece:
    border = line((0.0, 0.0), (width, 0.0), (width, height), (0.0, height), (0.0, 0.0))
    drawing = Drawing(name="card", items=(Path(layer="CUT", curve=border, closed=True),))
    return PagePiece(drawing=drawing, head=("Title", *(head or ())), foot=("Cut outside the line.",))


@draws(40)
@given(
    st.lists(st.tuples(SIZES, HEADS), min_size=1, max_size=6),
    st.sampled_from(("A5", "A4", "Letter", "A3")),
)
def test_pieces_that_share_a_page_are_whole_and_apart(
    cards: list[tuple[tuple[float, float], list[str]]], name: str
) -> None:
    pieces = [card(*size, head) for size, head in cards]
    sheet = shared_page(pieces, paper(name))
    if sheet is None:
        return
    drawn = [
        Drawing(name="", items=(i,)).bounds for i in sheet.drawing.items if isinstance(i, Path) and i.layer == "CUT"
    ]
    assert sorted((round(x1 - x0, 6), round(y1 - y0, 6)) for x0, y0, x1, y1 in drawn) == sorted(
        (round(width, 6), round(height, 6)) for (width, height), _ in cards
    )
    boxes = [shapely.box(*bounds) for bounds in drawn]
    assert all(a.distance(b) >= 5.0 - 1e-6 for a, b in itertools.combinations(boxes, 2))
    words = [shapely.Polygon(i.corners) for i in sheet.drawing.items if isinstance(i, Label)]
    assert all(box.distance(word) > 2.5 for box in boxes for word in words)
    reach = shapely.box(MARGIN, MARGIN, sheet.width - MARGIN, sheet.height - MARGIN).buffer(1e-6)
    assert all(box.within(reach) for box in boxes)
    told = [i.text for i in sheet.drawing.items if isinstance(i, Label)]
    for text in {"Title", *(text for _, head in cards for text in head)}:
        assert told.count(text) == 1


@draws(40)
@given(SIZES, st.integers(0, 6))
def test_what_is_refused_for_its_height_alone_fits_nowhere(size: tuple[float, float], lines: int) -> None:
    """The quick look at heights refuses no piece as wide as the page that the slow way would place."""
    width, height = 277.0, size[1] + 60.0
    piece = card(width, height, [f"line {i}" for i in range(lines)])
    if height + least_taken(piece.head) > 210.0:
        assert piece.on(paper("A4")) is None


def test_pieces_go_on_the_first_page_with_room() -> None:
    pages = SharedPages(paper=paper("A4"))
    first, low, second, beside = card(250.0, 100.0), card(250.0, 20.0), card(250.0, 70.0), card(100.0, 60.0)
    on = [pages.put(piece) for piece in (first, low, second, beside)]
    assert [page is pages.pages[i] for page, i in zip(on, (0, 0, 1, 1), strict=True)] == [True] * 4
    assert [page.pieces for page in pages.pages] == [(first, low), (second, beside)]
    assert len(pages.sheets) == 2
    assert pages.put(card(400.0, 10.0)) is None
    assert len(pages.sheets) == 2


def test_a_wide_low_piece_stands_over_a_high_one_where_the_bars_leave_no_room_under_it() -> None:
    """A knife 262 mm long is a millimetre too wide to have anything as wide beside the standing bar of A4."""
    from_above = card(262.0, 15.0)
    knife = Drawing(
        name="", items=(Path(layer="CUT", curve=line((0.0, 75.0), (262.0, 75.0))), *card(110.0, 70.0).drawing.items)
    )
    sheet = shared_page((PagePiece(drawing=knife, head=("Title",), foot=()), from_above), paper("A4"))
    assert sheet is not None
    cuts = [
        Drawing(name="", items=(i,)).bounds for i in sheet.drawing.items if isinstance(i, Path) and i.layer == "CUT"
    ]
    highest = max(cuts, key=lambda bounds: bounds[3])
    assert highest[3] - highest[1] == pytest.approx(15.0)


def test_all_templates_of_a_low_knife_are_on_two_pages() -> None:
    design = Design.from_script(EXAMPLES / "galley_petty.py")
    (pages,) = blade_pages(design, [paper("A4")])
    assert len(pages.sheets) == 2
    right, left = pages.faces["right"][0], pages.faces["left"][0]
    assert (right, left) == pages.sheets
    told = ["\n".join(i.text for i in sheet.drawing.items if isinstance(i, Label)) for sheet in pages.sheets]
    for text in (
        "RIGHT SCALE, outside up",
        "LEFT SCALE, outside up",
        "Seen from the spine",
        "Edge of the blank, ground",
    ):
        assert sum(text in of_page for of_page in told) == 1, text


def test_a_page_with_both_faces_is_handed_over_once() -> None:
    design = Design.from_script(EXAMPLES / "galley_petty.py", blade_length=80.0)
    made = next(iter(BOOK.draw(design, (paper("A3"),), ())))
    assert [name for name in made.single if name.startswith("template")] == ["template_A3"]
