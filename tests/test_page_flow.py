"""Text, rows and blocks on pages: nothing is lost or stands outside, what goes on begins with what is repeated."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bladegeom.book.quote_pages import quote_pages
from bladegeom.drawing.drawing import Item, Label
from bladegeom.drawing.page_flow import CellText, PageFlow
from bladegeom.price.quote_copy import Copy, QuoteRow, QuoteSection
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.papers import paper

CELL = CellText(size=2.0, step=3.0, above=1.0, below=1.0)


def words(page: Sequence[Item]) -> list[str]:
    return [item.text for item in page if isinstance(item, Label)]


def mark(text: str, height: float = 2.0) -> Label:
    return Label(layer="NOTE", x=0.0, y=0.0, text=text, height=height)


def test_a_page_goes_on_with_its_head_and_with_what_is_repeated() -> None:
    flow = PageFlow(room=20.0, top=100.0, x=10.0, width=80.0, leading=2.0)
    flow.head = lambda: flow.write("head", 2.0)
    flow.begin()
    flow.write("first", 2.0)
    flow.again = lambda: flow.write("again", 2.0)
    for text in ("a", "b", "c", "d", "e"):
        flow.write(text, 2.0)
    # 20 mm hold five lines of 4 mm.
    assert [words(page) for page in flow.pages] == [["head", "first", "a", "b", "c"], ["head", "again", "d", "e"]]
    assert [item.y for item in flow.pages[1] if isinstance(item, Label)] == [96.0, 92.0, 88.0, 84.0]
    assert flow.left == pytest.approx(4.0)


@given(
    cells=st.lists(st.integers(0, 40), min_size=1, max_size=3).filter(any),
    room=st.floats(12.0, 60.0),
    taken=st.floats(0.0, 60.0),
)
def test_a_row_is_carried_over_line_by_line_and_whole_where_it_can_be(
    cells: list[int], room: float, taken: float
) -> None:
    flow = PageFlow(room=room, top=0.0)
    flow.head = lambda: flow.add(mark("head"))
    flow.begin()
    flow.y -= taken
    lines = [[f"{i}.{j}" for j in range(count)] for i, count in enumerate(cells)]
    got: list[list[str]] = [[] for _ in cells]
    parts = 0
    for part, height in flow.row(lines, CELL):
        assert height <= flow.left + 1e-9
        assert CELL.height(max(map(len, part))) <= height + 1e-9
        for column, more in enumerate(part):
            got[column] += more
        flow.y -= height
        parts += 1
    assert got == lines
    tall = CELL.height(max(cells))
    assert (parts == 1) == (tall <= room)
    assert all(page[0] == mark("head") for page in flow.pages)


def test_a_head_that_leaves_no_room_for_a_line_is_told() -> None:
    flow = PageFlow(room=20.0)

    def head() -> None:
        flow.y -= 18.0

    flow.head = head
    with pytest.raises(ExportError, match="leaves no room"):
        list(flow.row([["a", "b"]], CELL))


def stacked(blocks: Iterable[Iterable[Item]], room: float, *, gap: float) -> list[tuple[Item, ...]]:
    """Blocks below each other, as a chapter puts them."""
    flow = PageFlow(room=room)
    for block in blocks:
        flow.block(block, gap=gap)
    return [tuple(page) for page in flow.pages]


def test_blocks_keep_together_and_their_gap_is_none_at_the_foot() -> None:
    blocks = [[mark(text)] for text in "abcde"]
    height = 2.0 * 1.25
    two = stacked(blocks, 2 * height + 1.5, gap=1.0)
    assert [words(page) for page in two] == [["a", "b"], ["c", "d"], ["e"]]
    upper, lower = (item.y for item in two[0] if isinstance(item, Label))
    assert upper - lower == pytest.approx(height + 1.0)
    # Three want their heights and two gaps.
    full = 3 * height + 2 * 1.0
    assert [len(stacked(blocks, room, gap=1.0)) for room in (full + 1e-6, full - 1e-6)] == [2, 3]
    assert stacked([], 10.0, gap=1.0) == []
    tall = stacked([[mark("low")], [mark("tall", 50.0)], [mark("low")]], 20.0, gap=1.0)
    assert [words(page) for page in tall] == [["low"], ["tall"], ["low"]]


def test_a_row_of_a_quote_that_no_page_holds_goes_on_and_its_amount_stands_beside_its_first_line() -> None:
    row = QuoteRow(what="work " * 1800, how="", amount="12.00", strong=False)
    copy = Copy(
        title="Quote",
        mark="A",
        remarks=(),
        currency="EUR",
        sections=(QuoteSection(title="Work", rows=(row,)),),
        foot=(),
    )
    sheets = quote_pages(copy, paper("A4"))
    said = [words(sheet.drawing.items) for sheet in sheets]
    assert sum(text.split().count("work") for page in said for text in page) == 1800
    (amount,) = (item for item in sheets[1].drawing.items if isinstance(item, Label) and item.text == "12.00")
    first = next(item for item in sheets[1].drawing.items if isinstance(item, Label) and item.text.startswith("work"))
    assert amount.y == first.y
    for sheet in sheets:
        assert all(item.y > 10.0 for item in sheet.drawing.items if isinstance(item, Label))
