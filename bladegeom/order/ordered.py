"""What an order says about the work: finishes by step, hardness, and what is looked at in the end."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from bladegeom.order.order import Order, Requirement
from bladegeom.order.order_ways import Finish, HandCheck, Measured

HARDNESS = "hardness"
"""Name of the measure of the blade's hardness, HRC."""


def finishes(order: Order | None, key: str) -> tuple[str, ...]:
    """What the order wants of a step, each with the number of its requirement."""
    return tuple(
        f"{way.words} (requirement {requirement.number}{', still open' if requirement.weight == 'open' else ''})"
        for requirement in _requirements(order)
        for way in requirement.ways
        if isinstance(way, Finish) and way.operation == key
    )


def hardness(order: Order | None) -> tuple[float, float] | None:
    """The window in which all requirements on the hardness lie, HRC; None where an end is missing or none agrees."""
    low, high = ordered_limits(order, HARDNESS)
    return (low, high) if low is not None and high is not None else None


def ordered_limits(order: Order | None, measure: str) -> tuple[float | None, float | None]:
    """The narrowest limits that the order sets on a measure, in its unit; none where they contradict each other."""
    low, high = _all_limits(order, measure)
    if low > high:
        return None, None
    return (low if math.isfinite(low) else None), (high if math.isfinite(high) else None)


def contradict(order: Order | None, measure: str) -> tuple[float, float] | None:
    """The greatest low and the least high limit on a measure where nothing lies between; else None."""
    low, high = _all_limits(order, measure)
    return (low, high) if low > high else None


def _all_limits(order: Order | None, measure: str) -> tuple[float, float]:
    """Of the musts, narrowed by the wishes where these leave room: a wish gives way to a must."""
    told = [
        (requirement.weight, way.limits) for requirement, way in measured_ways(order) if measure_name(way) == measure
    ]
    musts = _meet(limits for weight, limits in told if weight == "must")
    low, high = _meet(limits for _, limits in told)
    return musts if low > high and musts != _NONE else (low, high)


_NONE = (-math.inf, math.inf)


def _meet(windows: Iterable[tuple[float, float]]) -> tuple[float, float]:
    told = tuple(windows)
    return max((low for low, _ in told), default=-math.inf), min((high for _, high in told), default=math.inf)


def measured_ways(order: Order | None) -> Iterator[tuple[Requirement, Measured]]:
    """Every limit on a measure, with its requirement; open ones are left out."""
    for requirement in _requirements(order):
        if requirement.weight != "open":
            yield from ((requirement, way) for way in requirement.ways if isinstance(way, Measured))


def measure_name(way: Measured) -> str:
    """The measure's name as the table of measures spells it."""
    return " ".join(way.measure.lower().split())


def hand_checks(order: Order | None) -> Iterator[tuple[Requirement, HandCheck]]:
    """Everything that is looked at and signed for, with its requirement."""
    for requirement in _requirements(order):
        yield from ((requirement, way) for way in requirement.ways if isinstance(way, HandCheck))


def _requirements(order: Order | None) -> tuple[Requirement, ...]:
    return () if order is None else order.requirements
