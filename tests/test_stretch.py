"""Fills of a stretch against a fill that measures every place anew after every hole, and what a search holds."""

from __future__ import annotations

import itertools
import tracemalloc
from collections.abc import Callable
from functools import cache

import numpy as np
import pytest
from draws import draws, quick
from hypothesis import given
from hypothesis import strategies as st
from placed import broken
from specimens import ground, pins, plain_tang, tang_outline
from tangs import FEW, TANGS, knife_of, tang

from bladegeom import HoleRules, Knife, add_fasteners, add_lightening, weigh
from bladegeom.curves.curve import FloatArray
from bladegeom.placing.ground import Ground, ground_of, tang_of
from bladegeom.placing.lighten import grams_per_mm2
from bladegeom.placing.net_width import CELL
from bladegeom.placing.search import FROM_BUTT, FROM_FRONT, room_beside
from bladegeom.placing.stretch import Direction, Stretch, _merged
from bladegeom.placing.task import Placed, Task

MOST_MEMORY = 50.0
"""That a search may hold, MB."""


def plain_room(places: Ground, holes: list[Placed]) -> FloatArray:
    """Largest radius at every place beside some holes: each place against each hole and each strip; shape (n,), mm."""
    x, y = places.xy.T
    room, width = places.room.copy(), places.width
    left = np.maximum(width.left, 0.0)
    for place, size in holes:
        radius = places.radii[size]
        room = np.minimum(room, np.hypot(x - x[place], y - y[place]) - radius - places.web)
        away = np.maximum(np.abs(width.x - x[place]) - CELL / 2, 0.0)
        left = np.maximum(left - 2 * np.sqrt(np.maximum(radius**2 - away**2, 0.0)), 0.0)
    by_width = np.full(places.columns, np.inf)
    for column in np.unique(places.column).tolist():
        away = np.maximum(np.abs(width.x - x[places.column.searchsorted(column)]) - CELL / 2, 0.0)
        by_width[column] = np.sqrt((left**2 / 4 + away**2).min())
    return np.asarray(np.minimum(room, by_width[places.column]))


def plain_fill(task: Task, first: int, last: int, holes: list[Placed], cap: int, direction: Direction) -> list[Placed]:
    """The largest hole that fits somewhere in some columns, of equal places the first that way, until none fits."""
    places, added = task.ground, list[Placed]()
    inside = (places.column >= first) & (places.column < last)
    x, y = places.xy.T
    key = -task.worth if direction is None else x * direction[0] + y * direction[1]
    widest = float(places.radii[cap])
    while True:
        room = np.minimum(plain_room(places, [*holes, *added]), widest)
        room[~inside | (room < task.least)] = -1.0
        size = int(np.searchsorted(places.radii, room.max(), side="right")) - 1
        if size < 0:
            return added
        widest = float(places.radii[size])
        legal = np.flatnonzero(room >= widest)
        added.append((int(legal[key[legal].argmin()]), size))


def plain_fill_by_worth(task: Task, first: int, last: int, holes: list[Placed], worth: FloatArray) -> list[Placed]:
    """The widest hole at the place where that is worth most, of equal ones the first, until none fits."""
    places, added = task.ground, list[Placed]()
    inside = (places.column >= first) & (places.column < last)
    while True:
        room = plain_room(places, [*holes, *added])
        size = np.searchsorted(places.radii, room, side="right") - 1
        gain = np.where(inside & (room >= task.least), worth * places.radii[size] ** 2, 0.0)
        if not gain.max() > 0.0:
            return added
        added.append((int(gain.argmax()), int(size[gain.argmax()])))


HELD_BY_WIDTH = "held by its width"
"""A tang of which three quarters must be left in any section: two holes one above the other narrow each other."""


@cache
def task_of(name: str) -> Task:
    """On one of the tangs; towards its rear only wider holes are wanted."""
    rules = HoleRules(name="narrow", rim=2.0, web=2.0, net_width=0.75)
    knife = tang(plain_tang(length=100.0), (-20.0, -80.0), rules=rules, shop=FEW) if name == HELD_BY_WIDTH else None
    places = ground_of(knife or knife_of(name), largest=None, made="cut")
    least = np.where(places.xy[:, 0] < -60.0, places.radii[len(places.radii) // 3], places.radii[0])
    return Task(ground=places, worth=grams_per_mm2(places), least=least)


@given(st.data())
@draws(8)
def test_a_fill_takes_the_holes_of_the_plain_one(data: st.DataObject) -> None:
    task = task_of(data.draw(st.sampled_from(["plain, few sizes", "tapered", "petty, metric", HELD_BY_WIDTH])))
    columns, cap = task.ground.columns, data.draw(st.integers(0, len(task.ground.radii) - 1))
    holes = Stretch(task, 0, columns, (), cap).fill(FROM_FRONT, 10_000)
    first = data.draw(st.integers(0, columns - 1))
    last = min(columns, first + data.draw(st.integers(1, 150)))
    kept = [(place, size) for place, size in holes if not first <= task.ground.column[place] < last]
    lean = st.floats(-1.0, 1.0)
    direction = data.draw(st.none() | st.tuples(lean, lean) | st.sampled_from([FROM_BUTT, FROM_FRONT]))
    wide = data.draw(st.integers(0, len(task.ground.radii) - 1))
    found = Stretch(task, first, last, kept, wide).fill(direction, 10_000)
    assert found == plain_fill(task, first, last, kept, wide, direction)


@pytest.mark.parametrize("name", [*quick(TANGS, "tapered", "chef"), HELD_BY_WIDTH])
def test_room_beside_holes(name: str) -> None:
    places = task_of(name).ground
    holes = Stretch(task_of(name), 0, places.columns, (), len(places.radii) // 2).fill(FROM_BUTT, 4)
    plain = np.minimum(plain_room(places, holes), places.radii[-1])
    found = room_beside(places, holes)
    fits = plain >= places.radii[0]
    assert found[fits] == pytest.approx(plain[fits], abs=1e-9)
    assert (found[~fits] < places.radii[0]).all()


def test_a_fill_by_worth_takes_the_holes_of_the_plain_one() -> None:
    for name, lean in ((HELD_BY_WIDTH, 0.0), (HELD_BY_WIDTH, -0.05), ("petty, metric", 0.08)):
        task = task_of(name)
        worth = np.exp(lean * task.ground.xy[:, 0])
        holes = Stretch(task, 0, task.ground.columns, (), 2).fill(FROM_BUTT, 3)
        stretch = Stretch(task, 60, 300, holes, len(task.ground.radii) - 1)
        found = stretch.fill_by_worth(worth[stretch.open.place], 10_000)
        assert len(found) > 2
        assert found == plain_fill_by_worth(task, 60, 300, holes, worth)


def test_a_place_with_just_the_least_room_takes_a_hole() -> None:
    task = task_of("plain, few sizes")
    found = Stretch(task, 300, 400, (), 0).fill(FROM_BUTT, 10_000)
    assert len(found) > 5
    assert found == plain_fill(task, 300, 400, [], 0, FROM_BUTT)


@given(st.lists(st.tuples(st.integers(0, 30), st.integers(0, 12))))
def test_merged_stretches_hold_the_same_columns(drawn: list[tuple[int, int]]) -> None:
    ranges = [(start, start + size) for start, size in drawn]
    merged = list(_merged(ranges))
    assert {i for low, high in merged for i in range(low, high)} == {
        i for low, high in ranges for i in range(low, high)
    }
    assert all(high < low for (_, high), (low, _) in itertools.pairwise(merged) if high)


def high_tang() -> Knife:
    """100 mm high behind its first millimetres."""
    flared = tang_outline([(-3.0, 35.0), (-120.0, 35.0)], [(-120.0, -65.0), (-3.0, -65.0)])
    return ground(flared, height=14.0)


def long_tang() -> Knife:
    return add_fasteners(ground(plain_tang(length=480.0), height=14.0), pins("3/16"), count=12)


@pytest.mark.parametrize("tang", [long_tang, pytest.param(high_tang, marks=pytest.mark.long)])
def test_a_large_tang_takes_little_memory(tang: Callable[[], Knife]) -> None:
    knife = tang()
    weigh(knife)
    tracemalloc.start()
    done = add_lightening(knife)
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert most / 1e6 < MOST_MEMORY
    assert broken(done, done.holes) == []
    assert len(done.holes) > 30


def test_places_are_farther_apart_on_a_large_tang_alone() -> None:
    # 120 x 100 mm has 300,000 places 0.2 mm apart, and is to have no more than 200,000: every second along x and y.
    for knife, step in ((knife_of("plain"), 0.2), (high_tang(), 0.4)):
        x, y = tang_of(knife).xy.T
        assert len(x) <= 200_000
        assert np.unique(np.round(np.diff(np.unique(np.round(x, 6))), 6)).tolist() == [step]
        assert np.diff(y[x == x[len(x) // 2]]) == pytest.approx(step, abs=1e-9)
