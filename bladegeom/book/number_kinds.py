"""A number of the route or the inspection as the tool shows it that sets or measures it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from bladegeom.order.measures import measures
from bladegeom.quantities.shown import (
    Shown,
    balance_place,
    caliper_length,
    gauge_angle,
    hand_angle,
    oven_temperature,
    room_to_buy,
    rule_length,
    scale_mass,
    scribed_length,
    sold_thickness,
)
from bladegeom.workshop.operation import Number

Kind = Callable[[float], Shown]

_BY_TOOL: Final[dict[str, Kind]] = {"steel rule": rule_length, "tape": rule_length, "rod": balance_place}
"""Of lengths that are measured on the knife; others are told by calipers."""

_BY_WORDS: Final[tuple[tuple[str, Kind], ...]] = (
    ("stock, thickness", sold_thickness),
    ("grind line", scribed_length),
    ("rough grind line", scribed_length),
    ("edge angle", hand_angle),
    ("bar of 100 mm", caliper_length),
    ("length of", rule_length),
    ("slot of the sheath", rule_length),
    ("overhang", rule_length),
)
"""Numbers of the route that no measure names, by how they begin."""

_BY_UNIT: Final[dict[str, Kind]] = {
    "mm": caliper_length,
    "deg": gauge_angle,
    "g": scale_mass,
    "C": oven_temperature,
}


def value_shown(number: Number) -> Shown:
    """A number's value, in the unit that is told first and in the other one; nothing where it has none."""
    if number.value is None:
        return Shown(first="")
    kind = tool_of(number)
    if kind is not None:
        return kind(number.value)
    first, _, second = number.text.partition(" (")
    return Shown(first=first, second=second.removesuffix(")"))


def tool_of(number: Number) -> Kind | None:
    """How such a number is told; None where it has a way of its own."""
    if number.room:
        return room_to_buy
    for words, kind in _BY_WORDS:
        if number.what.startswith(words):
            return kind
    known = measures().get(number.measure or number.what)
    if number.unit == "mm" and known is not None:
        return _BY_TOOL.get(known.tool, caliper_length)
    return _BY_UNIT.get(number.unit)
