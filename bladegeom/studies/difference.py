"""What changed from one state of a design to the next, in words: what was declared, and what follows from it."""

from __future__ import annotations

import dataclasses
from collections import Counter
from collections.abc import Iterator
from typing import Final

import numpy as np

from bladegeom.curves.curve import Curve, points
from bladegeom.curves.meet import nearest
from bladegeom.findings.check import check
from bladegeom.knife.knife import Knife
from bladegeom.mass.unweighed import unweighed, without_words
from bladegeom.mass.weigh import Weighing, weigh
from bladegeom.order.order import Order
from bladegeom.outline.outline import CURVE_NAMES, Outline
from bladegeom.quantities.balance_bands import DATUM
from bladegeom.quantities.units import show_length, show_mass, show_place
from bladegeom.studies.field_words import changed_fields, field_name, kind_name, shown_value, told_length, unit_of
from bladegeom.studies.places_changed import STILL, changed_places

_APART: Final = {"outline", "holes", "fasteners"}
"""Fields of a knife that are told in a way of their own."""

_PLACES: Final = 8
"""At so many places on each piece two lines are compared."""

_GRAM, _NEAR = 0.05, 0.005
"""What is told of a mass, g, and of a balance, mm: half of the last digit told."""


def knife_difference(old: Knife, new: Knife) -> tuple[str, ...]:
    """A sentence for each thing that is not as it was; none where the two are the same.

    Args:
        old: The design as it was.
        new: As it is.
    """
    left_out = without_words(unweighed(new))
    return (*_outline(old.outline, new.outline, left_out), *declared_changes(old, new), *_follows(old, new))


def order_difference(old: Order | None, new: Order | None) -> tuple[str, ...]:
    """The same of the orders that two designs are made for."""
    if old is None or new is None:
        if old is new:
            return ()
        return ("order added",) if old is None else ("order gone",)
    return tuple(_orders(old, new))


def declared_changes(old: Knife, new: Knife) -> Iterator[str]:
    """The part of it that a maker declares himself, but for the outline."""
    for field in dataclasses.fields(Knife):
        if field.name not in _APART:
            a, b = getattr(old, field.name), getattr(new, field.name)
            yield from changed_fields(a, b, field_name(field.name), unit_of(Knife, field.name))
    yield from changed_places(old, new)


def _outline(old: Outline, new: Outline, left_out: str) -> Iterator[str]:
    if [*map(type, old.profiles)] == [*map(type, new.profiles)]:
        for was, now in zip(old.profiles, new.profiles, strict=True):
            yield from changed_fields(was, now, kind_name(was))
    else:
        yield from changed_fields(old.profiles, new.profiles, "profile")
    for what, a, b in (
        (f"overall length{left_out}", _span(old), _span(new)),
        ("blade length", old.tip[0], new.tip[0]),
        ("height of the tip over the heel", old.tip[1] - old.heel[1], new.tip[1] - new.heel[1]),
    ):
        if abs(b - a) > STILL:
            yield f"{what}: {show_length(a)} becomes {show_length(b)}, {_more(b - a)}"
    if max(map(abs, (old.heel[0] - new.heel[0], old.heel[1] - new.heel[1]))) > STILL:
        yield f"heel: {show_place(old.heel[0], old.heel[1])} becomes {show_place(new.heel[0], new.heel[1])}"
    for name in CURVE_NAMES:
        yield from _line(getattr(old, name), getattr(new, name), name.replace("_", " "))


def _line(old: Curve, new: Curve, name: str) -> Iterator[str]:
    if old == new:
        return
    away, (x, y) = max(_farthest(old, new), _farthest(new, old))
    if away > STILL:
        yield f"the {name} lies up to {told_length(away)} off where it was, at {show_place(x, y)}"
    else:
        yield f"the {name} is drawn otherwise and lies where it was"


def _farthest(curve: Curve, other: Curve) -> tuple[float, tuple[float, float]]:
    """How far a line is from another at most, mm, and the place on it where that is."""
    places = points(curve, np.linspace(0.0, len(curve), _PLACES * len(curve) + 1))
    away = nearest(other, places).distance
    worst = int(np.argmax(away))
    x, y = places[worst].tolist()
    return float(away[worst]), (x, y)


def _follows(old: Knife, new: Knife) -> Iterator[str]:
    was, now = weigh(old), weigh(new)
    yield from _weights(was, now)
    before, after = (Counter(finding.code for finding in check(knife)) for knife in (old, new))
    for code in sorted(before | after):
        if after[code] > before[code]:
            yield f"new finding: {code}" + _times(after[code] - before[code])
        elif after[code] < before[code]:
            yield f"finding gone: {code}" + _times(before[code] - after[code])


def _weights(was: Weighing, now: Weighing) -> Iterator[str]:
    left_out = without_words(unweighed(now.knife))
    mass = now.total.amount - was.total.amount
    if abs(mass) > _GRAM:
        yield f"mass {show_mass(mass, sign=True)}, {show_mass(now.total.amount)} now{left_out}"
    shift = now.balance_from_front - was.balance_from_front
    if abs(shift) > _NEAR:
        way = "towards the tip" if shift > 0 else "towards the butt"
        yield f"balance {show_length(abs(shift))} {way}, measured from {DATUM}{left_out}"


def _orders(old: Order, new: Order) -> Iterator[str]:
    before, after = ({requirement.number: requirement for requirement in order.requirements} for order in (old, new))
    for number in sorted({*before, *after}, key=str):
        if number not in before:
            yield f"order: requirement {number} added: {after[number].text}"
        elif number not in after:
            yield f"order: requirement {number} gone: {before[number].text}"
        elif before[number] != after[number]:
            yield from changed_fields(before[number], after[number], f"order: requirement {number}")
    for field in dataclasses.fields(Order):
        if field.name != "requirements" and getattr(old, field.name) != getattr(new, field.name):
            a, b = getattr(old, field.name), getattr(new, field.name)
            unit = unit_of(Order, field.name)
            was, now = shown_value(a, field.name, unit), shown_value(b, field.name, unit)
            yield f"order, {field_name(field.name)}: {was} becomes {now}"


def _span(outline: Outline) -> float:
    x0, _, x1, _ = outline.bounds
    return x1 - x0


def _more(change: float) -> str:
    return f"{told_length(abs(change))} {'more' if change > 0 else 'less'}"


def _times(count: int) -> str:
    return "" if count == 1 else f", {count} times"
