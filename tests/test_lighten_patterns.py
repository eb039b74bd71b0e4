"""Tidy patterns, slots, and the reasons why each hole is no wider."""

from __future__ import annotations

import dataclasses
import itertools
import math
from typing import Any

import numpy as np
import pypdfium2
import pytest
import shapely
from draws import quick
from refusals import assert_facts, assert_refused
from specimens import ground, plain_tang
from tangs import TANGS, knife_of

from bladegeom import (
    Hole,
    HoleRules,
    Knife,
    Shop,
    add_lightening,
    add_lightening_row,
    add_lightening_slots,
    add_staggered_rows,
    check,
    drill,
    lightening_limits,
    weigh,
)
from bladegeom.balance.sensitivities import what_moves_balance
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Label
from bladegeom.drawing.ruler import MARGIN
from bladegeom.knife.hole import Slot
from bladegeom.placing import lighten
from bladegeom.placing.lightened import unlightened
from bladegeom.placing.search import HoleSet, search_holes
from bladegeom.quantities.errors import ParameterError, PlacingError
from bladegeom.quantities.papers import paper
from bladegeom.sheets.lightening_sheet import PATTERNS, lightening_pages
from bladegeom.writers.pdf import pdf_of_sheets

CODES = {"hole-outside", "rim", "edge-distance", "web", "holes-overlap", "clear-strip", "hole-too-small", "net-width"}


def round_holes(knife: Knife) -> list[Hole]:
    return [hole for hole in knife.holes if isinstance(hole, Hole)]


# Two staggered rows.


@pytest.mark.parametrize("graded", [True, False])
@pytest.mark.parametrize(
    "name", quick(["plain", "waisted, light", "drop point, careful", "chef, light"], "plain", "waisted, light")
)
def test_rows_are_regular(name: str, graded: bool) -> None:  # noqa: FBT001
    knife = knife_of(name)
    holes = round_holes(add_staggered_rows(knife, graded=graded))
    upper, lower = knife.outline.tang_height(np.array([hole.x for hole in holes]))
    above = np.array([h.y for h in holes]) > (upper + lower) / 2
    # Each row at one distance from its border, the same for both.
    off = np.where(above, upper - [h.y for h in holes], [h.y for h in holes] - lower)
    assert off == pytest.approx(np.full(len(off), off[0]), abs=1e-6)
    x = np.array([h.x for h in holes])
    assert above.any()
    assert not above.all()
    steps = [abs(a - b) for row in (above, ~above) for a, b in itertools.pairwise(x[row])]
    pitch = min(steps)
    # Where a fastener stands holes are left out, and the pitch goes on.
    assert [step / pitch for step in steps] == pytest.approx([round(step / pitch) for step in steps])
    shift = (x[above][0] - x[~above][0]) / pitch
    assert abs(shift - round(shift)) == pytest.approx(0.5)
    sizes = {h.diameter for h in holes}
    assert len(sizes) == 1 if not graded else min(sizes) >= 0.6 * max(sizes) - 1e-9


def test_rows_by_arithmetic() -> None:
    # One size of 4.9 mm in a bare tang 25 mm high with rims and webs of 4 mm: 9 mm of pitch keep the web, and half of
    # 25 mm is more than any two chords of holes 4.5 mm apart.
    size = dataclasses.replace(drill("3/16"), diameter=4.9)
    knife = ground(plain_tang(length=120.0), shop=Shop(lightening_sizes=(size,)))
    holes = round_holes(add_staggered_rows(knife))
    # From 12.5 mm behind the front to 6.5 ahead of the butt 101 mm hold 12 in one row and 11 half a pitch behind.
    assert len(holes) == 12 + 11
    assert {round(h.x - holes[0].x, 6) % 4.5 for h in holes} == {0.0}


# Slots.


def test_slots_by_arithmetic() -> None:
    # Between pins of 4.763 in 4.9 mm at -20, -60 and -100: webs of 4 mm. 1.2 diameters to the outline allow 10.4 mm.
    knife = add_lightening_slots(knife_of("plain"))
    slots = [hole for hole in knife.holes if isinstance(hole, Slot)]
    assert len(slots) == len(knife.holes) == 2
    for slot, (front, rear) in zip(slots, ((-20.0, -60.0), (-60.0, -100.0)), strict=True):
        assert slot.diameter == drill("13/32").diameter
        keep = 4.0 + knife.openings[0].diameter / 2 + slot.diameter / 2
        ends = sorted((slot.start[0], slot.end[0]))
        # On the next half millimetre.
        assert rear + keep <= ends[0] < rear + keep + 0.5
        assert front - keep - 0.5 < ends[1] <= front - keep


@pytest.mark.parametrize("name", quick(list(TANGS)[::2], "plain", "waisted", "petty"))
def test_tidy_patterns_are_legal(name: str) -> None:
    knife = knife_of(name)
    before = [f.message for f in check(knife) if f.code in CODES]
    for place in (add_lightening_row, add_staggered_rows, add_lightening_slots):
        done = place(knife)
        assert len(done.holes) >= 1
        assert [f.message for f in check(done) if f.code in CODES] == before


def test_no_place_for_a_slot() -> None:
    knife = ground(plain_tang(length=17.5))
    with pytest.raises(PlacingError) as caught:
        add_lightening_slots(knife)
    assert_facts(caught.value, value=2.381, rule="")


# Why.


def test_why_each_hole_is_no_wider() -> None:
    knife = add_lightening(knife_of("plain"), least_shift=0.0, least_mass=0.0)
    told = lightening_limits(knife)
    names = [
        name for name, opening in zip(knife.hole_ids, knife.openings, strict=True) if opening.purpose == "lightening"
    ]
    assert sorted(limits.name for limits in told.holes) == sorted(names)
    for limits in told.holes:
        assert limits.wider is not None
        assert limits.stops, limits.words
        i = knife.hole_ids.index(limits.name) - len(knife.fasteners)
        hole = dataclasses.replace(knife.holes[i], diameter=limits.wider)
        wider = dataclasses.replace(knife, holes=(*knife.holes[:i], hole, *knife.holes[i + 1 :]))
        # The library's checks agree that the next drill would break a rule, unless it is within their tolerance.
        if max(stop.missing or 0.0 for stop in limits.stops) > 0.04:
            assert {f.code for f in check(wider)} & CODES
    assert not told.more.fits
    assert told.more.words.startswith("One more hole of the smallest drill, 2.381 mm (3/32 in), finds no place:")
    assert len(told.words) == len(told.holes) + 1


STOPS: list[tuple[HoleRules, float, str, float]] = [
    # A hole of 6.35 mm in the middle of a tang 25 mm high; the next is 6.747, wider by 0.397 mm. Plain arithmetic; 0.01
    # mm of the border and 0.005 mm of the height are kept in hand.
    (HoleRules(rim=9.2, web=0.0), -60.0, "the rim to the outline", 9.2 + 6.746875 / 2 - 12.49),
    (HoleRules(edge_distance_per_diameter=1.9), -60.0, "the edge distance", 1.9 * 6.746875 - 12.49),
    (HoleRules(clear_strip=56.8), -60.0, "the clear strip behind the handle front", 56.8 + 6.746875 / 2 - 60.0),
    (HoleRules(net_width=0.74), -60.0, "the net width", 6.746875 - 0.26 * 25.0 + 0.005),
    (HoleRules(web=3.0), -45.0, "the web to the other holes", 4.0 + (6.746875 + 15.0) / 2 - 14.2),
]


@pytest.mark.parametrize(("rules", "x", "rule", "missing"), STOPS)
def test_what_stops_a_hole(rules: HoleRules, x: float, rule: str, missing: float) -> None:
    other = Hole(x=-30.8, y=-12.5, diameter=15.0, purpose="lanyard")
    hole = Hole(x=x, y=-12.5, diameter=6.35, purpose="lightening")
    holes = (hole, other) if "web" in rule else (hole,)
    knife = ground(plain_tang(length=120.0), rules=rules, holes=holes)
    (limits,) = lightening_limits(knife).holes
    (stop,) = limits.stops
    assert limits.wider == pytest.approx(6.746875)
    assert stop.rule == rule
    assert stop.missing == pytest.approx(missing, abs=2e-3)
    assert stop.other == ("T1" if "web" in rule else "")
    assert "T1" in limits.words or "web" not in rule


def test_the_largest_and_the_end_of_the_index() -> None:
    hole = Hole(x=-60.0, y=-12.5, diameter=6.35, purpose="lightening")
    knife = ground(plain_tang(length=120.0), holes=(hole,))
    (free,) = lightening_limits(knife).holes
    assert free.stops == ()
    assert free.words.endswith("would fit too")
    (capped,) = lightening_limits(knife, largest=6.5).holes
    assert [stop.rule for stop in capped.stops] == ["the largest that is allowed"]
    last = dataclasses.replace(knife, shop=Shop(lightening_sizes=(drill("1/4"),)))
    (ended,) = lightening_limits(last).holes
    assert ended.wider is None
    assert ended.words.endswith("it is the widest drill of the index")


def test_one_more_hole_is_weighed() -> None:
    hole = Hole(x=-60.0, y=-12.5, diameter=6.35, purpose="lightening")
    knife = ground(plain_tang(length=120.0), holes=(hole,))
    more = lightening_limits(knife).more
    assert more.fits
    # The widest of 1.2 diameters to the outline: 13/32 in, in steel 4 mm thick.
    density = knife.stock.material.density_g_cm3
    assert more.mass == pytest.approx(density * 4e-3 * math.pi * drill("13/32").diameter ** 2 / 4)
    assert "would fit at" in more.words


# The sheet.


@pytest.mark.parametrize("name", quick(["petty, metric", "long"], "petty, metric"))
def test_the_sheet_holds_every_pattern(name: str) -> None:
    knife = dataclasses.replace(knife_of(name), name="A knife")
    pages = lightening_pages(Design(add_lightening_row(knife)), (paper("A4"), paper("Letter")))
    text = ""
    for page in pages:
        labels = [item for item in page.drawing.items if isinstance(item, Label)]
        boxes = [shapely.Polygon(label.corners) for label in labels if label.angle_deg == 0 and label.height < 3]
        assert not any(a.intersection(b).area > 1e-6 for a, b in itertools.combinations(boxes, 2))
        reach = shapely.box(MARGIN, MARGIN, page.width - MARGIN, page.height - MARGIN).buffer(1e-6)
        assert all(box.within(reach) for box in boxes)
        text += " ".join(label.text for label in labels) + " "
    assert all(pattern in text for pattern, _ in PATTERNS)
    # What the design had already is no part of the comparison.
    assert f"Without lightening: knife {weigh(knife).total.amount:.1f} g" in text
    row = add_lightening_row(knife)
    assert f"{len(row.holes)} holes: {weigh(knife).total.amount - weigh(row).total.amount:.1f} g out" in text
    document = pypdfium2.PdfDocument(pdf_of_sheets(pages))
    assert len(document) == len(pages)


def test_two_searches_do_for_the_whole_sheet_and_for_what_moves_the_balance(monkeypatch: pytest.MonkeyPatch) -> None:
    real, searched = search_holes, []

    def counted(*asked: Any, **more: Any) -> HoleSet:
        searched.append(asked)
        return real(*asked, **more)

    monkeypatch.setattr(lighten, "search_holes", counted)
    knife = add_lightening_row(knife_of("petty, metric"))
    for size in ("A4", "Letter"):
        lightening_pages(Design(knife), (paper(size),))
    what_moves_balance(weigh(knife))
    # With every hole that fits, and with those worth drilling.
    assert len(searched) == 2
    bare = unlightened(knife)
    alone = add_lightening(dataclasses.replace(bare), least_shift=0.0, least_mass=0.0)
    assert add_lightening(bare, least_shift=0.0, least_mass=0.0).holes == alone.holes


def test_the_sheet_says_where_a_pattern_finds_no_place() -> None:
    low = ground(plain_tang(length=20.0))
    pages = lightening_pages(Design(low), (paper("A4"),))
    words = " ".join(item.text for page in pages for item in page.drawing.items if isinstance(item, Label))
    assert "not here: " in words


@pytest.mark.parametrize("angle_deg", [0.0, 35.0, 70.0])
def test_what_a_leaning_slot_takes_of_an_upright_line_is_its_width_over_the_cosine(angle_deg: float) -> None:
    # Source: a strip of width d under an angle a is d / cos a high on an upright line; long enough, so is the slot.
    a, size = math.radians(angle_deg), dataclasses.replace(drill("3/16"), diameter=5.0)
    way = 8.0 * np.array([math.cos(a), math.sin(a)])
    middle = np.array([-60.0, -12.5])
    (x0, y0), (x1, y1) = (middle - way).tolist(), (middle + way).tolist()
    slot = Slot(start=(x0, y0), end=(x1, y1), diameter=4.0, purpose="lightening")
    rules = HoleRules(name="narrow", rim=0.0, per_thickness=0.0, edge_distance_per_diameter=0.0, net_width=0.9)
    knife = ground(plain_tang(), holes=(slot,), shop=Shop(lightening_sizes=(size,)), rules=rules)
    (limits,) = lightening_limits(knife).holes
    (stop,) = limits.stops
    assert stop.rule == "the net width"
    assert stop.missing == pytest.approx(5.0 / math.cos(a) - 2.5, abs=0.01)


def test_graded_is_yes_or_no() -> None:
    with pytest.raises(ParameterError) as caught:
        add_staggered_rows(knife_of("plain"), graded="no")  # type: ignore[arg-type]
    assert_refused(caught.value, "lightening rows: graded")


@pytest.mark.parametrize("name", TANGS)
def test_a_slot_that_is_not_tried_would_not_have_been_chosen(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The quick way equals the slow one, which leaves out nothing for being too small."""
    quickly = slots_or_why(knife_of(name))
    monkeypatch.setattr("bladegeom.placing.slots._most_area", lambda *_: math.inf)
    assert slots_or_why(knife_of(name)) == quickly


def slots_or_why(knife: Knife) -> object:
    try:
        return add_lightening_slots(knife).holes
    except PlacingError as error:
        return str(error)
