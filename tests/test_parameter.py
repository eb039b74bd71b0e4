from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from refusals import assert_refused, assert_tells

from bladegeom.outline.parameter import (
    CommonParameter,
    Parameter,
    outside_range,
    parameter,
    parameters,
    require,
    require_numbers,
)
from bladegeom.quantities.errors import ParameterError


@dataclass(frozen=True, kw_only=True)
class Wedge:
    """A shape of no use, with one parameter of each kind and a field that is none."""

    length: float = parameter(50.0, "mm", 10.0, 90.0, "from end to end")
    tilt: float = parameter(0.0, "degrees", -5.0, 5.0, "of the upper side")
    name: str = "wedge"

    def __post_init__(self) -> None:
        require_numbers(self)


def test_parameters_are_told_in_the_order_declared_and_nothing_else_is() -> None:
    assert parameters(Wedge) == (
        Parameter(name="length", unit="mm", default=50.0, low=10.0, high=90.0, meaning="from end to end"),
        Parameter(name="tilt", unit="degrees", default=0.0, low=-5.0, high=5.0, meaning="of the upper side"),
    )
    assert parameters(Wedge(length=20.0)) == parameters(Wedge)


def test_a_parameter_is_a_plain_default() -> None:
    assert Wedge() == Wedge(length=50.0, tilt=0.0)
    assert dataclasses.replace(Wedge(), length=60.0).length == 60.0


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, "50", None, True, 1j, [50.0], np.array([50.0])])
def test_what_is_no_number_is_refused(bad: object) -> None:
    with pytest.raises(ParameterError) as caught:
        Wedge(length=bad)  # type: ignore[arg-type]
    assert_refused(caught.value, "length")
    assert caught.value.name == "length"


@pytest.mark.parametrize("good", [50, 50.0, Fraction(50), np.float64(50), np.float32(50), np.int64(50)])
def test_every_kind_of_number_is_taken(good: float) -> None:
    assert Wedge(length=good) == Wedge()
    assert outside_range(Wedge(length=good)) == ()


def test_a_length_is_never_negative_but_a_tilt_may_be() -> None:
    with pytest.raises(ParameterError) as caught:
        Wedge(length=-1.0)
    assert_refused(caught.value, "length")
    assert Wedge(tilt=-4.0).tilt == -4.0


@pytest.mark.parametrize("value", [10_001.0, 1e300])
def test_no_length_is_beyond_all_reason(value: float) -> None:
    with pytest.raises(ParameterError) as caught:
        Wedge(length=value)
    assert_tells(str(caught.value), "10000", "mm")


@given(length=st.floats(0.0, 200.0), tilt=st.floats(-20.0, 20.0))
def test_just_the_values_outside_their_range_are_told(length: float, tilt: float) -> None:
    told = {p.name: value for p, value in outside_range(Wedge(length=length, tilt=tilt))}
    expected = {}
    if length < 10.0 or length > 90.0:
        expected["length"] = length
    if tilt < -5.0 or tilt > 5.0:
        expected["tilt"] = tilt
    assert told == expected


def test_the_ends_of_a_range_belong_to_it() -> None:
    assert outside_range(Wedge(length=10.0, tilt=5.0)) == ()
    assert outside_range(Wedge(length=90.0, tilt=-5.0)) == ()


def test_a_refusal_names_parameter_value_and_limit() -> None:
    require("neck", 3.0, "mm", "be less than 4 mm", ok=True)
    with pytest.raises(ParameterError) as caught:
        require("neck", 5.25, "mm", "be less than 4 mm", ok=False)
    assert_refused(caught.value, "neck | 4 mm")
    with pytest.raises(ParameterError) as caught:
        require("belly", 1.0, "", "be more", ok=False)
    assert_refused(caught.value, "belly")


_WIDTH = CommonParameter("mm", "across", lambda shape: "" if shape.width < shape.length else "be less than the length")


@dataclass(frozen=True, kw_only=True)
class Slat:
    """A shape with a parameter that others have too, and one with a rule of its own."""

    length: float = parameter(50.0, "mm", 10.0, 90.0, "from end to end")
    width: float = _WIDTH(20.0, 10.0, 30.0)
    curve: float = parameter(
        2.0, "power", 1.5, 3.0, "of the ends", rule=lambda slat: "" if slat.curve > 1 else "be more than 1"
    )

    def __post_init__(self) -> None:
        require_numbers(self)


def test_a_common_parameter_has_its_words_once_and_its_numbers_with_each_shape() -> None:
    assert parameters(Slat)[1] == Parameter(
        name="width", unit="mm", default=20.0, low=10.0, high=30.0, meaning="across"
    )
    assert Slat() == Slat(length=50.0, width=20.0, curve=2.0)


def test_a_rule_is_asked_when_all_are_numbers() -> None:
    with pytest.raises(ParameterError) as caught:
        Slat(width=60.0)
    assert_refused(caught.value, "width | length")
    with pytest.raises(ParameterError) as caught:
        Slat(curve=0.5)
    assert_refused(caught.value, "curve | 1")
    with pytest.raises(ParameterError) as caught:
        Slat(width=60.0, curve=math.nan)
    assert_refused(caught.value, "curve")
