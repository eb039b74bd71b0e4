"""Interval arithmetic: no sample falls outside, and both ends are reached."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.interval import Interval, give_or_take

numbers = st.floats(-1e3, 1e3)
shares = st.floats(0.0, 1.0)


@st.composite
def intervals(draw: st.DrawFn) -> Interval:
    low, nominal, high = sorted(draw(st.tuples(numbers, numbers, numbers)))
    return Interval(low, nominal, high)


def within(value: float, interval: Interval) -> bool:
    return interval.low - 1e-9 <= value <= interval.high + 1e-9


def ends(interval: Interval) -> tuple[float, float]:
    return interval.low, interval.high


def between(interval: Interval, share: float) -> float:
    return interval.low + share * (interval.high - interval.low)


@given(intervals(), intervals(), shares, shares, numbers)
def test_what_is_drawn_from_the_parts_lies_in_the_whole(
    a: Interval, b: Interval, of_a: float, of_b: float, factor: float
) -> None:
    x, y = between(a, of_a), between(b, of_b)
    assert within(x + y, a + b)
    assert within(x - y, a - b)
    assert within(-x, -a)
    scaled = a * factor
    assert scaled.low - 1e-6 <= x * factor <= scaled.high + 1e-6
    assert within(factor - x, factor - a)


@given(intervals(), intervals(), numbers)
def test_both_ends_are_reached_at_corners(a: Interval, b: Interval, factor: float) -> None:
    corners = list(itertools.product(ends(a), ends(b)))
    sums, differences = [x + y for x, y in corners], [x - y for x, y in corners]
    assert ends(a + b) == (min(sums), max(sums))
    assert ends(a - b) == (min(differences), max(differences))
    assert ends(factor * a) == (min(x * factor for x in ends(a)), max(x * factor for x in ends(a)))


@given(intervals(), intervals(), numbers)
def test_the_nominal_is_what_plain_numbers_give(a: Interval, b: Interval, factor: float) -> None:
    assert (a + b).nominal == a.nominal + b.nominal
    assert (a - b).nominal == a.nominal - b.nominal
    assert (a * factor).nominal == a.nominal * factor
    assert (factor + a).nominal == (a + factor).nominal == factor + a.nominal
    assert (factor - a).nominal == factor - a.nominal


def test_two_parts_alike_stray_twice_as_far_and_one_counted_twice_cancels_not() -> None:
    """Interval arithmetic knows no common cause: who writes a - a gets twice the error, so each cause stands once."""
    a = give_or_take(5.0, 0.1)
    assert ends(2 * a) == pytest.approx((9.8, 10.2))
    assert ends(a - a) == pytest.approx((-0.2, 0.2))


def test_give_or_take() -> None:
    assert give_or_take(3.0, 0.5) == Interval(2.5, 3.0, 3.5)
    assert give_or_take(3.0, 0.0) == Interval(3.0, 3.0, 3.0)


@pytest.mark.parametrize("values", [(2.0, 1.0, 3.0), (1.0, 4.0, 3.0), (float("nan"), 1.0, 2.0)])
def test_an_interval_that_does_not_rise_is_refused(values: tuple[float, float, float]) -> None:
    with pytest.raises(ParameterError, match="rise from low to high"):
        Interval(*values)


def test_a_negative_give_or_take_is_refused() -> None:
    with pytest.raises(ParameterError, match="rise from low to high"):
        give_or_take(1.0, -0.1)
