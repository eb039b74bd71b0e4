"""Measures in words that a customer knows: what is measured, how much it is, and what was asked for."""

from __future__ import annotations

import math
from typing import Final

from bladegeom.order.measures import Measure, measure
from bladegeom.order.order_ways import Measured
from bladegeom.order.ordered import HARDNESS
from bladegeom.quantities.customer_units import (
    asked_length,
    asked_lengths,
    asked_mass,
    customer_length,
    customer_mass,
    rounded_length,
)
from bladegeom.quantities.shown import bare, rounded_mass
from bladegeom.quantities.units import show_angle

MEASURE_WORDS: Final = {
    "blade length": "blade, from the front of the handle to the tip",
    "blade length to handle": "blade, from the foremost place of the handle to the tip",
    "blade length to plunge": "blade, from where the ground face begins to the tip",
    "edge length": "along the edge, from end to end",
    "overall length": "whole knife, from the tip to the end of the handle",
    "blade height": "blade, from edge to spine where it is highest",
    "knuckle clearance": "room for the knuckles under the handle",
    "thickness": "thickness of the blade at the spine, near the handle",
    "tip thickness": "thickness of the spine, 10 mm behind the tip",
    "butt thickness": "thickness of the steel at the end of the handle",
    "edge thickness": "thickness behind the edge, before it is sharpened",
    "first edge thickness": "thickness behind the edge, before the last face is ground",
    "rough edge": "thickness of the edge before the steel is hardened",
    "bevel height": "height of the ground face, near the handle",
    "bevel angle": "slope of the ground face, each side",
    "sharpening angle": "the edge is sharpened at, each side",
    "mass": "weight, without a sheath",
    "balance": "the knife balances",
    "handle length": "length of the handle",
    "handle girth": "round the handle where it is thickest",
    "least handle girth": "round the handle where it is narrowest",
    "handle height": "handle, from the underside to the top where it is highest",
    "handle thickness": "handle, from side to side where it is thickest",
    "scale thickness": "thickness of the handle on each side of the steel",
    "slab thickness": "thickness of the handle material as it is bought",
    "lanyard bore": "opening for the cord",
    "hand breadth": "made for a hand that measures across the knuckles",
    "hardness": "hardness of the blade",
}
"""Each measure as a customer would say it."""

_FRONT: Final = "the front of the handle"


def shown_measure(quantity: Measure, value: float) -> str:
    """A value of a measure of the design, rounded as customers read it; a balance point is told by where it lies."""
    if quantity.name == "balance":
        place = _place(value, customer_length(abs(value)))
        return f"at {_FRONT}" if place == _FRONT else place
    if quantity.unit == "mm":
        return customer_length(value)
    return customer_mass(value) if quantity.unit == "g" else _asked(quantity, value)


def measured_words(way: Measured, value: float | None) -> str:
    """What was made of a wish that is measured, and what was asked for.

    Args:
        way: The wish's limits.
        value: Of the design; None where only the finished knife tells it.

    >>> measured_words(Measured(measure="mass", high=90), 85.53)
    'weight, without a sheath: 86 g; asked for: at most 90 g'
    """
    quantity = measure(way.measure)
    wanted, words = _limits(way, quantity), MEASURE_WORDS[quantity.name]
    if quantity.name == HARDNESS:
        return f"{words}: {wanted}, measured after it is hardened"
    if value is None:
        return f"{words}: {wanted}, told by the finished knife"
    return f"{words}: {_beside_limits(way, quantity, value)}; asked for: {wanted}"


def limits_words(way: Measured) -> str:
    """What a wish asks of a measure, as customers read it.

    >>> limits_words(Measured(measure="hardness", low=55, high=57))
    '55 to 57 HRC'
    """
    return _limits(way, measure(way.measure))


def _beside_limits(way: Measured, quantity: Measure, value: float) -> str:
    """A value; with all its digits where rounding would carry it over a limit."""
    low, high = way.limits
    rounded = {"mm": rounded_length, "g": rounded_mass}.get(quantity.unit, float)(value)
    if (low <= value <= high) == (low <= rounded <= high):
        return shown_measure(quantity, value)
    return _place(value, asked_length(abs(value))) if quantity.name == "balance" else _asked(quantity, value)


def _limits(way: Measured, quantity: Measure) -> str:
    low, high = way.limits
    if quantity.name == "balance":
        return _balance_limits(low, high)
    if way.nominal is not None and way.tolerance is not None:
        return f"{_asked(quantity, float(way.nominal))} within {_asked(quantity, float(way.tolerance))}"
    if way.low is None:
        return f"at most {_asked(quantity, high)}"
    return f"at least {_asked(quantity, low)}" if way.high is None else _asked_range(quantity, low, high)


def _balance_limits(low: float, high: float) -> str:
    first, last = ("" if math.isinf(end) else _place(end, asked_length(abs(end))) for end in (low, high))
    if first and last:
        return f"between {first} and {last}"
    return f"no further back than {first}" if first else f"no further ahead than {last}"


def _place(x: float, shown: str) -> str:
    """Where a balance point lies, its distance in words."""
    if abs(x) < _AT:
        return _FRONT
    return f"{shown} {'ahead of' if x > 0 else 'behind'} {_FRONT}"


def _asked(quantity: Measure, value: float) -> str:
    """A value with all its digits."""
    if quantity.unit == "mm":
        return asked_length(value)
    if quantity.unit == "g":
        return asked_mass(value)
    return f"{_number(quantity, value)} {_UNIT_WORDS[quantity.unit]}"


def _asked_range(quantity: Measure, low: float, high: float) -> str:
    if quantity.unit == "mm":
        return asked_lengths(low, high)
    if quantity.unit == "g":
        return f"{asked_mass(low).removesuffix(' g')} to {asked_mass(high)}"
    return f"{_number(quantity, low)} to {_asked(quantity, high)}"


def _number(quantity: Measure, value: float) -> str:
    return show_angle(value) if quantity.unit == "deg" else bare(f"{value:.1f}")


_AT: Final = 0.05
"""So near to the front of the handle, mm, that what is shown would be nought."""

_UNIT_WORDS: Final = {"deg": "degrees", "HRC": "HRC"}
