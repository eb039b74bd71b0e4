"""Picked points: scale and perspective taken out exactly, and a whole outline from them."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest
import specimens
import traces
from draws import draws, quick
from hypothesis import given
from hypothesis import strategies as st
from refusals import assert_facts, assert_tells

from bladegeom.curves.curve import FloatArray, Vector
from bladegeom.curves.inflection import bends
from bladegeom.importers.trace import outline_from_trace, points_from_csv, trace_points
from bladegeom.outline.landmarks import Landmarks
from bladegeom.outline.outline import Outline
from bladegeom.quantities.errors import CurveError, OutlineError, ParameterError
from bladegeom.quantities.file_errors import UnreadableFileError

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "examples"))

import traced_knife

A4 = np.array([[0.0, 210.0], [297.0, 210.0], [297.0, 0.0], [0.0, 0.0]])
"""Upper left, upper right, lower right, lower left, mm, y up. Source: ISO 216."""

OFFSET = np.array([150.0, 120.0])


def seen(points: FloatArray, camera: FloatArray) -> list[Vector]:
    """Pixels, y down, of places in mm through a camera."""
    out = np.concatenate([points, np.ones((len(points), 1))], axis=1) @ camera.T
    return [(float(x), float(y)) for x, y in out[:, :2] / out[:, 2:]]


CAMERA = np.array([[11.2, 0.9, 520.0], [0.25, -10.6, 2700.0], [2.2e-4, -3e-4, 1.0]])


@given(
    tilt=st.tuples(st.floats(-6e-4, 6e-4), st.floats(-6e-4, 6e-4)),
    turn=st.floats(-40, 40),
    size=st.floats(2.0, 20.0),
)
@draws(25)
def test_perspective_is_taken_out(tilt: tuple[float, float], turn: float, size: float) -> None:
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    camera = np.array([[size * c, size * s, 900.0], [size * s, -size * c, 3000.0], [*tilt, 1.0]])
    places = np.array([[10.0, 20.0], [150.0, 100.0], [280.0, 190.0]])
    trace = trace_points(seen(places, camera), sheet=(seen(A4, camera), "A4"))
    assert trace.points == pytest.approx(places, abs=1e-6)


def test_a_length_between_two_pixels() -> None:
    trace = trace_points([(100, 900), (300, 700)], scale=((0, 0), (0, 400), 100.0))
    assert trace.points == pytest.approx(np.array([[25.0, -225.0], [75.0, -175.0]]))
    assert trace.at((100, 900)) == pytest.approx((25.0, -225.0))


@pytest.mark.parametrize(
    ("told", "message"),
    [
        ({}, "one of the two"),
        ({"scale": ((0, 0), (1, 0), 5.0), "sheet": (A4, "A4")}, "one of the two"),
        ({"scale": ((0, 0), (0, 0), 5.0)}, "two different points"),
        ({"scale": ((0, 0), (1, 0), -5.0)}, "more than 0"),
        ({"sheet": (A4[::-1], "B9")}, "A4, A3, Letter"),
        ({"sheet": (A4[:3], "A4")}, "number of corners"),
        ({"sheet": (A4, "A4")}, "upper left"),
        ({"sheet": ([(0, 0), (9, 0), (18, 0), (0, 9)], "A4")}, "order of the corners"),
    ],
)
def test_no_size_from_that(told: dict[str, object], message: str) -> None:
    with pytest.raises(ParameterError, match=message):
        trace_points([(0, 0), (1, 1)], **told)  # type: ignore[arg-type]


def test_points_beyond_the_horizon_are_refused() -> None:
    sheet = [(400, 400), (600, 400), (900, 900), (100, 900)]
    with pytest.raises(ParameterError, match="horizon"):
        trace_points([(500, 800), (500, -400)], sheet=(sheet, "A4"))


@pytest.mark.parametrize("name", quick(["drop_point", "petty"], "petty"))
def test_a_traced_photograph_becomes_a_knife(name: str) -> None:
    truth = getattr(specimens, name)().outline
    points, tip = traces.traced(truth, 300, 0.2, 1)
    picked = seen(points + OFFSET, CAMERA)

    def place(p: Vector) -> Vector:
        return seen(np.array([p]) + OFFSET, CAMERA)[0]

    marks = traces.marks_of(truth, place)
    level = (place((0.0, 0.0)), place((50.0, 0.0)))
    marks = Landmarks(**{**vars(marks), "heel": picked[0], "tip": picked[tip], "level": level})
    outline = outline_from_trace(trace_points(picked, sheet=(seen(A4, CAMERA), "A4")), marks, within=0.25)
    # The origin is the place of the fair line nearest to the mark: as far off as that line, at most.
    assert traces.apart(outline.loop, truth.loop) < 0.3 + 0.25
    assert outline.tip == pytest.approx(truth.tip, abs=0.5)
    assert len(outline.loop) < 40
    assert len(bends(outline.edge, 0.5)) <= 2
    assert outline.area == pytest.approx(truth.area, rel=0.005)


def bosun(picked: Sequence[Vector], within: float = 0.35) -> Outline:
    """The example's knife from other points than its own."""
    marks = Landmarks(
        heel=traced_knife.HEEL,
        tip=traced_knife.TIP,
        handle_front=traced_knife.HANDLE_FRONT,
        front_bottom=traced_knife.FRONT_BOTTOM,
    )
    return outline_from_trace(trace_points(picked, sheet=(traced_knife.SHEET, "A4")), marks, within=within)


PICKED = traced_knife.PICKED


@pytest.mark.parametrize(
    ("picked", "message"),
    [
        (PICKED[:60], r"trace is open: from its last point, \(1774?, 144.\) .* to its first, \(2360, 1723\), are"),
        ([*PICKED[:40], PICKED[60], *PICKED[40:]], "trace crosses itself near .* of the picture"),
        (PICKED + PICKED, "trace crosses itself"),
        (PICKED[:50] + PICKED[:49:-1], "trace crosses itself"),
    ],
)
def test_traces_that_do_not_go_once_round(picked: Sequence[Vector], message: str) -> None:
    with pytest.raises(OutlineError, match=message):
        bosun(picked)


@pytest.mark.parametrize("picked", [PICKED[:1], PICKED[:1] * 50, PICKED[:7]])
def test_too_few_points(picked: Sequence[Vector]) -> None:
    with pytest.raises(CurveError) as caught:
        bosun(picked)
    assert_facts(caught.value, limit=8)


@pytest.mark.parametrize("within", [0.0, -1.0, 50.0, float("nan")])
def test_distances_that_nobody_picks_by(within: float) -> None:
    with pytest.raises(ParameterError) as caught:
        bosun(PICKED, within)
    assert_tells(str(caught.value), "3.00 mm")


def test_points_from_a_file(tmp_path: Path) -> None:
    path = tmp_path / "p.csv"
    path.write_text("\ufeffx;y\n\n1;2\n3.5\t-4\n5, 6, a note\n", encoding="utf-8")
    assert points_from_csv(path) == [(1.0, 2.0), (3.5, -4.0), (5.0, 6.0)]
    for text, message in (
        ("x,y\n", "has no points"),
        ("1,2\n3\n", "line 2: '3' is no point"),
        ("1,2\nnan,3\n", "line 2: 'nan 3' is no point"),
        ("x;y\n1,5;2,5\n", "line 2: '1,5;2,5' has commas within its numbers"),
    ):
        path.write_text(text)
        with pytest.raises(UnreadableFileError, match=message):
            points_from_csv(path)
    path.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(UnreadableFileError) as caught:
        points_from_csv(path)
    assert_tells(str(caught.value), "UTF-16", "UTF-8")


def test_points_that_are_none() -> None:
    with pytest.raises(CurveError, match="pairs of finite numbers"):
        trace_points([(0.0, float("nan"))], scale=((0, 0), (1, 0), 5.0))
