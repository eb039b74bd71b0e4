"""The chart of what moves the balance: true to its own ticks, nothing overlaps, nothing is lost."""

from __future__ import annotations

import dataclasses
import itertools
import re
from functools import cache

import numpy as np
import numpy.typing as npt
import pytest
import shapely
from draws import quick
from fastened import FLAT, PIN, at, bar, mixed
from specimens import bar_outline, chef, drop_point, ground

from bladegeom.balance.sensitivities import what_moves_balance
from bladegeom.balance.sensitivity import Sensitivity
from bladegeom.curves.flatten import flatten
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Circle, Item, Label, Path, Sheet
from bladegeom.drawing.ruler import MARGIN
from bladegeom.knife.hole import Hole
from bladegeom.knife.knife import Knife
from bladegeom.mass.weigh import weigh
from bladegeom.placing.place import add_fasteners, add_lightening_row
from bladegeom.quantities.balance_bands import BalanceBand
from bladegeom.quantities.papers import paper
from bladegeom.quantities.units import show_mass, show_mm
from bladegeom.sheets.sensitivity_chart import sensitivity_pages
from bladegeom.writers.pdf import pdf_of_sheets

A4, LETTER, A3 = paper("A4"), paper("Letter"), paper("A3")

KNIVES = {
    "hunter": add_lightening_row(add_fasteners(drop_point(scales=FLAT, balance="hunter"), PIN, count=2), largest=6.0),
    "mixed": mixed(taper=()),
    "chef": chef(scales=FLAT, balance="chef"),
    "far band": bar(at(-40.0, PIN), scales=FLAT),
    "bare": bar(scales=None, holes=(Hole(x=-50.0, y=-15.0, diameter=8.0, purpose="lightening"),)),
    "thin": ground(bar_outline(), thickness=0.5, edge=0.1),
    "long name": drop_point(balance=BalanceBand(low=-3.0, high=2.5, name="as the second mate's old knife had it")),
}
KNIVES["far band"] = dataclasses.replace(KNIVES["far band"], balance=BalanceBand(low=-180.0, high=-160.0))


@cache
def pages(name: str) -> tuple[Sheet, ...]:
    return sensitivity_pages(Design(KNIVES[name]), (A4, A3))


def labels(sheet: Sheet) -> list[Label]:
    return [item for item in sheet.drawing.items if isinstance(item, Label)]


def named(sensitivity: Sensitivity) -> str:
    return f"{sensitivity.name}: {sensitivity.change}"


def words(sheets: tuple[Sheet, ...]) -> str:
    return " ".join(label.text for sheet in sheets for label in labels(sheet))


def ticks(sheet: Sheet, title: str) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.float64]]:
    """Values and places of the ticks nearest below a title, in rising order."""
    (head,) = (label for label in labels(sheet) if label.text.startswith(title))
    numbers = [
        label
        for label in labels(sheet)
        if label.anchor == "middle" and re.fullmatch(r"-?[\d.]+", label.text) and 0 < head.y - label.y < 6
    ]
    right = {"balance": head.x + 95.0, "mass": head.x + 80.0}[title]
    near = sorted((float(label.text), label.x) for label in numbers if head.x - 5 < label.x < right)
    value, place = np.array(near).T
    return value, place


def read(sheet: Sheet, title: str, x: float) -> float:
    """The value at a place, by a straight line through the first and the last tick."""
    value, place = ticks(sheet, title)
    return float(value[0] + (x - place[0]) * (value[-1] - value[0]) / (place[-1] - place[0]))


@pytest.mark.parametrize("name", quick(KNIVES, "hunter", "bare", "thin", "long name"))
def test_dots_and_bars_are_true(name: str) -> None:
    knife = KNIVES[name]
    weighed = weigh(knife)
    tried = [sensitivity for sensitivity in what_moves_balance(weighed) if sensitivity.balance is not None]
    wanted = [(weighed.balance_from_front, weighed.total.amount)]
    wanted += [(sensitivity.balance or 0.0, sensitivity.mass or 0.0) for sensitivity in tried]
    got = []
    for sheet in pages(name):
        dots = [item for item in sheet.drawing.items if isinstance(item, Circle)]
        bars = sorted(filled(sheet, 0.6, 0.7), key=lambda ring: -ring.centroid.y)
        assert len(dots) == len(bars)
        for dot, ring in zip(sorted(dots, key=lambda dot: -dot.y), bars, strict=True):
            assert ring.bounds[1] < dot.y < ring.bounds[3]
            assert read(sheet, "mass", ring.bounds[0]) == pytest.approx(0.0, abs=0.1)
            got.append((read(sheet, "balance", dot.x), read(sheet, "mass", ring.bounds[2])))
    np.testing.assert_allclose(np.array(got), np.array(wanted), atol=0.05)


def filled(sheet: Sheet, low: float, high: float) -> list[shapely.Polygon]:
    """Solid pieces whose grey lies between two."""
    return [
        shapely.Polygon(flatten(item.curve, 0.01))
        for item in sheet.drawing.items
        if isinstance(item, Path) and item.filled and low < item.pen.grey < high
    ]


@pytest.mark.parametrize("name", quick(KNIVES, "hunter", "bare", "thin", "long name"))
def test_the_band_is_shaded_where_it_is(name: str) -> None:
    band = KNIVES[name].balance_band
    for sheet in pages(name):
        shaded = filled(sheet, 0.8, 0.95)
        if band is None:
            assert not shaded
            continue
        (ring,) = shaded
        ends = [read(sheet, "balance", x) for x in (ring.bounds[0], ring.bounds[2])]
        assert ends == pytest.approx([band.low, band.high], abs=0.05)
        rows = [item.y for item in sheet.drawing.items if isinstance(item, Circle)]
        assert ring.bounds[1] < min(rows) <= max(rows) < ring.bounds[3]


@pytest.mark.parametrize("name", quick(KNIVES, "hunter", "bare", "thin", "long name"))
def test_every_lever_stands_there_with_its_numbers_in_order(name: str) -> None:
    knife = KNIVES[name]
    told = words(pages(name))
    weighed, places = weigh(knife), []
    for sensitivity in what_moves_balance(weighed):
        assert named(sensitivity) in told
        places.append(told.index(named(sensitivity)))
        if sensitivity.balance is None:
            assert f"cannot be built: {sensitivity.refused}" in told
        else:
            assert sensitivity.balance_shift is not None
            assert sensitivity.mass is not None
            assert sensitivity.mass_shift is not None
            assert f"{show_mm(sensitivity.balance)} ({show_mm(sensitivity.balance_shift, sign=True)})" in told
            assert f"{show_mass(sensitivity.mass)} ({show_mass(sensitivity.mass_shift, sign=True)})" in told
        assert not sensitivity.brings or f"brings errors: {', '.join(sensitivity.brings)}" in told
    assert places == sorted(places)
    assert f"As it is: {show_mass(weighed.total.amount)}" in told
    assert knife.balance_band is None or f"{knife.balance_band.name}, {knife.balance_band.words}" in told


@pytest.mark.parametrize("name", quick(KNIVES, "hunter", "bare", "thin", "long name"))
@pytest.mark.parametrize("first", quick([A4, LETTER], A4), ids=["A4", "Letter"])
def test_nothing_overlaps_and_all_lies_on_the_page(name: str, first: object) -> None:
    sheets = pages(name) if first is A4 else sensitivity_pages(Design(KNIVES[name]), (LETTER,))
    for sheet in sheets:
        assert sheet.width in (297.0, 279.4)
        x0, y0, x1, y1 = sheet.drawing.bounds
        assert min(x0, y0, sheet.width - x1, sheet.height - y1) >= MARGIN - 1e-6
        boxes = [shapely.Polygon(label.corners) for label in labels(sheet)]
        for a, b in itertools.combinations(range(len(boxes)), 2):
            assert not boxes[a].intersects(boxes[b]), (labels(sheet)[a].text, labels(sheet)[b].text)
        tree = shapely.STRtree(boxes)
        for item in sheet.drawing.items:
            if is_line(item):
                hit = tree.query(line_of(item), predicate="intersects")
                assert not len(hit), [labels(sheet)[i].text for i in hit]


def is_line(item: Item) -> bool:
    """Whether something is drawn that no text may stand on; the band's grey may be."""
    return isinstance(item, Circle) or (isinstance(item, Path) and item.pen.grey < 0.8)


def line_of(item: Item) -> shapely.geometry.base.BaseGeometry:
    if isinstance(item, Circle):
        return shapely.Point(item.x, item.y).buffer(item.radius)
    assert isinstance(item, Path)
    return shapely.LineString(flatten(item.curve, 0.01))


def test_many_rows_run_on_over_pages() -> None:
    remarks = tuple(f"A remark that takes a line of the head, number {i}" for i in range(12))
    sheets = sensitivity_pages(Design(KNIVES["mixed"]), (A4,), remarks=remarks)
    assert len(sheets) > 1
    for i, sheet in enumerate(sheets, start=1):
        assert f"page {i} of {len(sheets)}" in words((sheet,))
        assert all(remark in words((sheet,)) for remark in remarks)
    told = words(sheets)
    for sensitivity in what_moves_balance(weigh(KNIVES["mixed"])):
        assert told.count(named(sensitivity)) == 1


def test_the_same_design_gives_the_same_bytes() -> None:
    first, second = (
        pdf_of_sheets(sensitivity_pages(Design(dataclasses.replace(KNIVES["hunter"])), (A4,))) for _ in range(2)
    )
    assert first == second


def test_a_knife_without_a_band_says_nothing_of_one() -> None:
    assert "Shaded" not in words(pages("bare"))
    assert "Shaded: the band declared, hunter" in words(pages("hunter"))


def knife_of(sheet: Sheet) -> str:
    return sheet.drawing.name


def test_pages_carry_the_knife_s_name() -> None:
    assert {knife_of(sheet) for sheet in pages("hunter")} == {KNIVES["hunter"].name}


def fits(knife: Knife) -> int:
    return len(sensitivity_pages(Design(knife), (A4,)))


def test_an_ordinary_knife_takes_one_page() -> None:
    assert fits(KNIVES["hunter"]) == 1
