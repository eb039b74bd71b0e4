"""Sections on pages: nothing is lost, none is split without need, no page is wasted, and the last is not left bare."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

import pytest
from draws import draws
from hypothesis import example, given
from hypothesis import strategies as st

from bladegeom.drawing.drawing import Label
from bladegeom.drawing.page_fill import Section, evenly_filled
from bladegeom.drawing.page_flow import PageFlow

ROOM = 10
"""Lines on a page."""

Placed = list[list[tuple[int, int]]]
"""On each page the lines: of which section, and which of it."""


def section(number: int, lines: int) -> Section:
    """So many lines, each 1 mm high, between which a page may end."""

    def draw(flow: PageFlow) -> None:
        for line in range(lines):
            flow.fit(1.0)
            flow.y -= 1.0
            flow.add(Label(layer="NOTE", x=number, y=line, text="a", height=1.0))

    return draw


def begun(lines: int) -> PageFlow:
    flow = PageFlow(room=ROOM, width=50.0)
    flow.begin()
    flow.y -= lines
    return flow


def placed(flow: PageFlow) -> Placed:
    return [[(round(item.x), round(item.y)) for item in page if isinstance(item, Label)] for page in flow.pages]


def lines_of(pages: Placed) -> list[tuple[int, int]]:
    return [line for page in pages for line in page]


def plainly(head: int, lengths: Sequence[int], *, is_whole: bool) -> Placed:
    """One below the other, without a thought."""
    flow = begun(head)
    for i, lines in enumerate(lengths):
        draw = section(i, lines)
        if is_whole or i == len(lengths) - 1:
            flow.keep(draw)
        else:
            draw(flow)
    return placed(flow)


LENGTHS = st.lists(st.integers(1, 14), min_size=1, max_size=6)


@given(st.integers(0, ROOM), LENGTHS)
@example(5, [6, 6, 6])  # split but for the last
@draws(100)
def test_sections_stand_in_order_on_the_fewest_pages_and_whole_where_that_takes_no_more(
    head: int, lengths: list[int]
) -> None:
    flow = begun(head)
    found = placed(evenly_filled(flow, [section(i, lines) for i, lines in enumerate(lengths)]))
    assert lines_of(found) == [(i, line) for i, lines in enumerate(lengths) for line in range(lines)]
    assert all(len(page) <= ROOM for page in found)
    plain, whole = (plainly(head, lengths, is_whole=each) for each in (False, True))
    assert len(found) == min(len(plain), len(whole))
    unsplit = range(len(lengths)) if len(whole) == len(found) else [len(lengths) - 1]
    for i in unsplit:
        on = [page for page in found if any(of == i for of, _ in page)]
        assert len(on) == 1 or lengths[i] > ROOM
    assert placed(flow) == [[]]


@pytest.mark.parametrize(
    ("lengths", "last"),
    [([4, 3, 2, 1], [1, 2, 3]), ([6, 4, 1], [1, 2]), ([3, 3], []), ([9, 9], [1])],
)
def test_the_last_page_is_not_left_with_a_few_lines(lengths: list[int], last: list[int]) -> None:
    found = placed(evenly_filled(begun(1), [section(i, lines) for i, lines in enumerate(lengths)]))
    assert sorted({of for of, _ in found[-1]}) == (last or [0, 1])
    assert len(found) == (2 if last else 1)


def test_what_no_page_holds_is_split_and_nothing_is_tried_on_the_flow_itself() -> None:
    flow = begun(2)
    before = dataclasses.replace(flow, pages=[list(page) for page in flow.pages])
    found = placed(evenly_filled(flow, [section(0, 25), section(1, 3)]))
    assert [len(page) for page in found] == [8, 10, 10]
    assert (flow.pages, flow.y) == (before.pages, before.y)
