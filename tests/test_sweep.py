"""Sweeps on any executor: order, failures in their rows, bounded work under way, refusals before anything runs."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
import time
from collections.abc import Iterator
from concurrent.futures import BrokenExecutor, Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from typing import Any

import pytest
from refusals import assert_refused, refusal, unknown

from bladegeom import BladegeomError, FlatBevel, Grind, Hole, Knife, Plunge, Stock, check, join_halves, weigh
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.swelled import Swelled
from bladegeom.quantities.errors import ParameterError, UnknownNameError
from bladegeom.studies.processes import cores, processes
from bladegeom.studies.sweep import _AHEAD, combinations, sweep
from bladegeom.studies.variant import Outcome, Row


def bare(blade_length: float = 105.0, thickness: float = 4.0, holes: int = 1) -> Knife:
    """A knife that is quick to make: steel alone, with some lightening holes."""
    outline = join_halves(DropPoint(blade_length=blade_length), Swelled())
    return Knife(
        name="Bare",
        outline=outline,
        stock=Stock(steel="1.4116", thickness=thickness),
        grind=Grind(bevel=FlatBevel(height=17.0, edge_thickness=0.4), plunge=Plunge(x=outline.heel[0])),
        holes=tuple(Hole(x=-40.0 - 20.0 * i, y=-13.0, diameter=8.0, purpose="lightening") for i in range(holes)),
    )


def moody(n: int) -> Knife:
    """Fails in each way that a maker's own code may."""
    if n == 1:
        raise KeyError("spine")
    if n == 2:
        raise SystemExit(3)
    if n == 3:
        return bare(thickness=-1.0)
    if n == 4:
        return "a knife"  # type: ignore[return-value]
    if n == 5:
        raise RuntimeError
    return bare()


def slow_first(n: int) -> Knife:
    time.sleep(0.2 if n == 0 else 0.0)
    return bare(holes=n)


@pytest.fixture
def threads() -> Iterator[Executor]:
    with ThreadPoolExecutor(2) as pool:
        yield pool


def test_a_row_holds_what_weighing_and_check_say(threads: Executor) -> None:
    (row,) = sweep(bare, [{"blade_length": 110.0, "holes": 2}], executor=threads)
    knife = bare(110.0, holes=2)
    weighing, findings = weigh(knife), check(knife)
    out = row.outcome
    assert isinstance(out, Outcome)
    assert row.parameters == {"blade_length": 110.0, "holes": 2}
    assert out.mass == pytest.approx(weighing.total.amount, abs=1e-4)
    assert out.balance == pytest.approx(weighing.balance_from_front, abs=1e-4)
    # Two holes of 8 mm through 4 mm of a steel whose table says its density.
    assert out.lightening == pytest.approx(2 * 3.14159265 * 16 * 4 * knife.stock.material.density_g_cm3 / 1e3, abs=1e-4)
    assert out.blade_length == 110.0
    assert out.overall_length == pytest.approx(110.0 + 118.0, abs=1e-3)
    for count, codes, severity in (
        (out.errors, out.error_codes, "error"),
        (out.warnings, out.warning_codes, "warning"),
    ):
        found = [finding.code for finding in findings if finding.severity == severity]
        assert count == len(found)
        assert set(codes) == set(found)


def test_errors_are_counted(threads: Executor) -> None:
    good, bad = sweep(bare, {"holes": [1, 5]}, executor=threads)
    assert isinstance(good.outcome, Outcome)
    assert isinstance(bad.outcome, Outcome)
    # The fifth hole lies at x -120, behind the butt.
    assert "hole-outside" in bad.outcome.error_codes
    assert good.outcome.error_codes == ()


def test_the_last_parameter_changes_fastest() -> None:
    grid = {"a": [1, 2], "b": "xy"}
    assert [tuple(combination.values()) for combination in combinations(grid)] == [
        (1, "x"),
        (1, "y"),
        (2, "x"),
        (2, "y"),
    ]


def test_rows_come_in_order_whatever_is_done_first(threads: Executor) -> None:
    assert [row.parameters["n"] for row in sweep(slow_first, {"n": [0, 1, 2]}, executor=threads)] == [0, 1, 2]


def test_failures_stand_in_their_rows(threads: Executor) -> None:
    rows = list(sweep(moody, {"n": range(7)}, executor=threads))
    assert [row.failed for row in rows] == [False, True, True, True, True, True, False]
    first = moody.__code__.co_firstlineno
    told = [str(row.outcome) for row in rows]
    assert told[1] == f"{__file__}, line {first + 3}: KeyError: 'spine'"
    assert told[2] == f"{__file__}, line {first + 5}: SystemExit: 3"
    # The design's own file calls bare(), which stands in the same file: the line that is at fault.
    assert told[3].startswith(f"{__file__}, line ")
    assert refusal("stock: thickness", "-1 mm") in told[3]
    assert told[4] == "TypeError: the design returned 'a knife', not a Knife"
    assert told[5] == f"{__file__}, line {first + 11}: RuntimeError"


class Slow(Executor):
    """Runs a task only when its result is asked for, and counts how many wait."""

    def __init__(self) -> None:
        self.waiting = self.most = self.ran = 0

    def submit(self, _fn: Any, /, *args: Any, **_kwargs: Any) -> Future[Any]:
        self.waiting += 1
        self.most = max(self.most, self.waiting)
        outer = self

        class Lazy(Future[Any]):
            def result(self, timeout: float | None = None) -> Any:  # noqa: ARG002
                outer.waiting -= 1
                outer.ran += 1
                return Row(parameters=args[1], outcome="not run")

        return Lazy()


def test_no_more_than_a_batch_is_under_way() -> None:
    asked = 0

    def endless() -> Iterator[dict[str, object]]:
        nonlocal asked
        for asked in range(100_000):
            yield {"blade_length": float(asked)}

    executor = Slow()
    rows = sweep(bare, endless(), executor=executor)
    assert [next(rows).parameters["blade_length"] for _ in range(2000)] == list(range(2000))
    assert executor.most == _AHEAD
    assert asked < 2000 + _AHEAD


def test_who_stops_asking_stops_the_sweep() -> None:
    gate, ran = threading.Event(), []

    def held(n: int) -> Knife:
        ran.append(n)
        if n:
            gate.wait(10)
        raise ValueError

    with ThreadPoolExecutor(1) as pool:
        rows = sweep(held, {"n": range(50)}, executor=pool)
        next(rows)
        rows.close()
        gate.set()
    # The second may have begun meanwhile.
    assert ran in ([0], [0, 1])


@pytest.mark.parametrize(
    ("grid", "error", "message"),
    [
        ({"blade_lenght": [1]}, UnknownNameError, unknown("parameter", "blade_lenght", "blade_length")),
        ([{"holes": 1}, {"hols": 1}], UnknownNameError, unknown("parameter", "hols", "holes")),
        ({"holes": []}, ParameterError, refusal("holes", "no value at all")),
        ({"steel": "1084"}, UnknownNameError, unknown("parameter", "steel")),
        ({"holes": "12"}, ParameterError, refusal("holes", "'12'")),
    ],
)
def test_refusals_come_before_anything_runs(grid: Any, error: type[BladegeomError], message: str) -> None:
    with pytest.raises(error, match=message):
        sweep(bare, grid, executor=Slow())


def test_a_parameter_without_default_must_be_given() -> None:
    with pytest.raises(ParameterError) as caught:
        sweep(moody, [{"n": 1}, {}], executor=Slow())
    assert_refused(caught.value, "n")


def test_a_design_that_no_process_can_import_is_refused() -> None:
    with pytest.raises(ParameterError, match="be a function that a worker process can import"):
        sweep(lambda n: bare(holes=n), {"n": [1]})


@pytest.mark.filterwarnings("ignore:This process .* is multi-threaded:DeprecationWarning")
@pytest.mark.parametrize("method", ["fork", "spawn"])
def test_processes_of_either_kind(method: str, threads: Executor) -> None:
    if method not in multiprocessing.get_all_start_methods():
        pytest.skip(f"no {method} on this system")
    grid: dict[str, list[float]] = {"holes": [0, 1], "thickness": [4.0, -1.0]}
    with ProcessPoolExecutor(1, mp_context=multiprocessing.get_context(method)) as pool:
        assert list(sweep(bare, grid, executor=pool)) == list(sweep(bare, grid, executor=threads))


def test_by_default_on_processes_of_this_machine(threads: Executor) -> None:
    grid = {"holes": [0, 1, 2]}
    assert list(sweep(bare, grid)) == list(sweep(bare, grid, executor=threads))


def in_worker() -> tuple[str | None, str | None]:
    """How many threads a worker is told to use; one Ctrl-C does not stop it."""
    signal.raise_signal(signal.SIGINT)
    return os.environ.get("OPENBLAS_NUM_THREADS"), os.environ.get("OMP_NUM_THREADS")


def test_a_worker_has_one_thread_and_ends_what_it_does(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("OPENBLAS_NUM_THREADS", raising=False)
    monkeypatch.setenv("OMP_NUM_THREADS", "3")
    with processes(1) as pool:
        assert pool.submit(in_worker).result() == ("1", "3")
        with pytest.raises(BrokenExecutor):
            pool.submit(in_worker).result()
    assert "OPENBLAS_NUM_THREADS" not in os.environ
    assert os.environ["OMP_NUM_THREADS"] == "3"


def test_cores_are_those_that_may_be_used(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "sched_getaffinity", lambda _: {3, 5, 7}, raising=False)
    assert cores() == 3
    monkeypatch.delattr(os, "sched_getaffinity")
    monkeypatch.setattr(os, "cpu_count", lambda: 6)
    assert cores() == 6


@pytest.mark.parametrize(
    ("design", "grid", "told"),
    [
        (bare(), {"holes": [1]}, "design"),
        (bare, 5, "grid | blade_length"),
        (bare, {"holes": 3}, "holes | [3]"),
        (bare, [3, 4], "sweep: variant | blade_length"),
    ],
)
def test_what_is_no_sweep_is_told_so(design: Any, grid: Any, told: str) -> None:
    with pytest.raises(ParameterError) as caught:
        sweep(design, grid)
    assert_refused(caught.value, told)
