"""Charts of sweeps: what lies where, ticks at round numbers, labels that keep off each other, marks of what failed."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from bladegeom.drawing.axis import name_axis, number_axis, spread
from bladegeom.drawing.drawing import Circle, Label, Path, Sheet
from bladegeom.drawing.label_placement import ink
from bladegeom.quantities.file_errors import ExportError
from bladegeom.sheets.sweep_chart import sweep_chart
from bladegeom.studies.sweep import combinations
from bladegeom.studies.variant import Outcome, Row

ROUND = st.floats(-1e4, 1e4).map(lambda x: round(x, 4))


def outcome(mass: float, balance: float, errors: int = 0) -> Outcome:
    return Outcome(
        mass=mass,
        balance=balance,
        blade_length=100.0,
        overall_length=220.0,
        lightening=0.0,
        errors=errors,
        error_codes=("rim",) * errors,
        warnings=0,
        warning_codes=(),
    )


def rows(grid: Mapping[str, Sequence[object]]) -> list[Row]:
    """Some outcome that differs from variant to variant; the third fails, the fourth has an error."""
    out = []
    for i, combination in enumerate(combinations(grid)):
        a, b = (hash_of(value) for value in [*combination.values(), 0.0][:2])
        found: Outcome | str = outcome(200.0 + 2 * a + 5 * b, -30.0 + a - b, errors=int(i == 3))
        out.append(Row(parameters=combination, outcome="k.py, line 3: no" if i == 2 else found))
    return out


def hash_of(value: object) -> float:
    return float(value) if isinstance(value, int | float) else float(sum(map(ord, str(value))) % 17)


def labels(sheet: Sheet) -> list[Label]:
    return [item for item in sheet.drawing.items if isinstance(item, Label)]


@given(st.lists(ROUND, min_size=1, max_size=5), st.floats(30.0, 200.0), st.booleans())
def test_ticks_are_round_and_keep_apart(values: list[float], length: float, lying: bool) -> None:  # noqa: FBT001
    axis = number_axis(values, 5.0, length, lying=lying)
    assert all(axis.start <= axis.place(v) <= axis.end for v in values)
    ticks = list(axis.ticks.items())
    assert all(axis.start <= axis.place(v) <= axis.end for v, _ in ticks)
    # The text says the number, and all texts differ.
    assert all(float(text) == pytest.approx(v, abs=1e-9 * max(1.0, abs(v))) for v, text in ticks)
    assert len({text for _, text in ticks}) == len(ticks)
    for (a, _), (b, _) in itertools.pairwise(ticks):
        mantissa = (b - a) / 10 ** math.floor(math.log10((b - a) * 1.000001))
        assert min(abs(mantissa - m) for m in (1, 2, 5)) < 1e-6
    if lying:
        boxes = [Label(layer="NOTE", x=axis.place(v), y=0.0, text=t, height=2.0, anchor="middle") for v, t in ticks]
        assert all(a.corners[:, 0].max() < b.corners[:, 0].min() for a, b in itertools.pairwise(boxes))


def test_ticks_of_a_plain_range() -> None:
    axis = number_axis([95.0, 135.0], 0.0, 130.0, lying=True)
    assert list(axis.ticks.values()) == ["95", "100", "105", "110", "115", "120", "125", "130", "135"]
    # 5 % of 40 are free at both ends.
    assert (axis.low, axis.high) == (93.0, 137.0)


def test_names_stand_upright_where_they_are_wide() -> None:
    assert not name_axis(["1084", "1095"], 0.0, 100.0).upright
    assert name_axis(["a name of some length"] * 6, 0.0, 100.0).upright


@given(st.lists(st.floats(0.0, 50.0), min_size=1, max_size=12).map(sorted))
def test_spread_keeps_order_pitch_and_limits_and_moves_no_more_than_it_must(wanted: list[float]) -> None:
    places = spread(wanted, 3.0, 0.0, 50.0)
    assert all(b - a >= 3.0 - 1e-9 for a, b in itertools.pairwise(places))
    assert min(places) >= -1e-9
    assert max(places) <= 50.0 + 1e-9
    if all(b - a >= 3.0 for a, b in itertools.pairwise(wanted)):
        assert places == pytest.approx(wanted)


def test_spread_puts_equal_wishes_about_their_middle() -> None:
    assert spread([20.0, 20.0, 20.0], 3.0, 0.0, 50.0) == pytest.approx([17.0, 20.0, 23.0])


GRIDS: list[dict[str, Sequence[object]]] = [
    {"blade_length": [100.0, 110.0, 120.0, 130.0]},
    {"blade_length": [100.0, 110.0, 120.0, 130.0], "thickness": [3.0, 3.5, 4.0]},
    {"blade_length": [100.0, 110.0], "thickness": [3.0 + i / 100 for i in range(40)]},
    {"steel": ["1084", "1.4116", "D2"], "bevel_height": [15.0, 17.0]},
    {"steel": [f"a steel with a long name {i}" for i in range(9)], "on": [True, False]},
    {"a": [float(i) for i in range(1000)], "handle_length": [118.0], "steel": ["1084"]},
    {"a": [1e-3, 2e-3, 1e4, 3e4]},
    {"on": [True, False], "b": [1.0, 2.0, 3.0]},
]


@pytest.mark.parametrize("grid", GRIDS, ids=lambda grid: "-".join(f"{k}{len(v)}" for k, v in grid.items()))
def test_nothing_overlaps_and_all_is_on_the_page(grid: dict[str, Sequence[object]]) -> None:
    sheet = sweep_chart(grid, rows(grid), name="some_knife")
    x0, y0, x1, y1 = sheet.drawing.bounds
    assert (x0, y0) == pytest.approx((8.0, 8.0))
    assert (x1, y1) == pytest.approx((sheet.width - 8.0, sheet.height - 8.0))
    texts = [shapely.Polygon(label.corners) for label in labels(sheet)]
    for a, b in itertools.combinations(texts, 2):
        assert a.intersection(b).area < 1e-9
    strokes = shapely.union_all(
        [ink(item) for item in sheet.drawing.items if isinstance(item, Path | Circle) and item.pen.grey < 0.4]
    )
    assert not any(text.buffer(-0.1).intersects(strokes) for text in texts)


def frames(sheet: Sheet) -> list[tuple[float, float, float, float]]:
    return [
        (*item.curve.pieces.reshape(-1, 2).min(axis=0), *item.curve.pieces.reshape(-1, 2).max(axis=0))
        for item in sheet.drawing.items
        if isinstance(item, Path) and item.closed
    ]


def scale(sheet: Sheet, frame: tuple[float, float, float, float]) -> np.poly1d:
    """Value over the place up the page, read from the texts beside a chart as a reader does."""
    x0, y0, _, y1 = frame
    ticks = [label for label in labels(sheet) if label.anchor == "end" and label.x < x0 and y0 <= label.y + 1 <= y1]
    return np.poly1d(np.polyfit([label.y + 1.0 for label in ticks], [float(label.text) for label in ticks], 1))


def test_marks_lie_where_their_numbers_say() -> None:
    grid = {"blade_length": [100.0, 110.0, 120.0, 130.0, 140.0]}
    sweep = rows(grid)
    sheet = sweep_chart(grid, sweep, name="k")
    mass, balance = frames(sheet)
    assert mass[1] > balance[3]
    along = {label.text: label.x for label in labels(sheet) if label.anchor == "middle"}
    for frame, what in ((mass, "mass"), (balance, "balance")):
        value = scale(sheet, frame)
        marks = {round(c.x, 6): c for c in sheet.drawing.items if isinstance(c, Circle) and frame[1] < c.y < frame[3]}
        assert len(marks) == 4
        for row in sweep:
            place = along[f"{row.parameters['blade_length']:.0f}"]
            if isinstance(row.outcome, Outcome):
                mark = marks[round(place, 6)]
                assert value(mark.y) == pytest.approx(getattr(row.outcome, what), abs=1e-6)
                # A ring where an error stands, a dot otherwise.
                assert mark.filled == (row.outcome.errors == 0)
            else:
                assert round(place, 6) not in marks


def test_failures_are_crossed_and_lines_break_there() -> None:
    grid = {"a": [0.0, 10.0, 20.0, 30.0, 40.0]}
    sheet = sweep_chart(grid, rows(grid), name="k")
    assert [label.text for label in labels(sheet)].count("failed") == 1
    paths = [item for item in sheet.drawing.items if isinstance(item, Path) and not item.closed]
    lines = [item for item in paths if item.pen.width == 0.3]
    # Two stretches in each chart, of two variants each: the third of five fails.
    assert [len(item.curve.pieces) for item in lines] == [1, 1, 1, 1]
    below = min(frame[1] for frame in frames(sheet))
    crosses = [item for item in paths if item.curve.pieces[..., 1].max() < below]
    failed_at = next(label.x for label in labels(sheet) if label.text == "20")
    assert len(crosses) == 2
    assert all(item.curve.pieces[..., 0].mean() == pytest.approx(failed_at) for item in crosses)


def test_lines_are_named_beside_their_ends() -> None:
    grid = {"blade_length": [100.0, 110.0, 120.0, 130.0], "thickness": [3.0, 3.5, 4.0]}
    sheet = sweep_chart(grid, [row for row in rows(grid) if not row.failed], name="k")
    mass, balance = frames(sheet)
    for frame, texts in ((mass, ["3", "3.5", "4"]), (balance, ["4", "3.5", "3"])):
        beside = [label for label in labels(sheet) if label.x > frame[2] and frame[1] < label.y < frame[3]]
        # The thickest weighs the most here, and balances farthest back.
        assert [label.text for label in sorted(beside, key=lambda label: label.y)] == texts


def test_what_is_the_same_in_all_stands_below_the_title() -> None:
    grid: dict[str, list[object]] = {"a": [1.0, 2.0], "handle_length": [118.0], "steel": ["1084"], "on": [True]}
    assert "handle_length = 118, steel = 1084, on = yes" in [
        label.text for label in labels(sweep_chart(grid, rows(grid), name="k"))
    ]


def test_nothing_to_draw() -> None:
    grid = {"a": [1.0, 2.0]}
    failed = [Row(parameters=combination, outcome="no") for combination in combinations(grid)]
    with pytest.raises(ExportError, match="no variant of this sweep"):
        sweep_chart(grid, failed, name="k")
