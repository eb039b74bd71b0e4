"""Which holes and fasteners moved, changed, came or went, from one state of a design to the next."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bladegeom.knife.fastener import Fastener
from bladegeom.knife.knife import Knife
from bladegeom.quantities.units import show_length, show_place
from bladegeom.studies.field_words import changed_fields, shown_value, told_length

STILL = 5e-5
"""What moves less has not moved, mm: half of what a revision id counts."""


@dataclass(frozen=True, eq=False)
class _Place:
    name: str
    x: float
    y: float
    kind: object
    value: object


def changed_places(old: Knife, new: Knife) -> Iterator[str]:
    """A sentence for each hole and fastener that differs.

    Two are the same one where they are of one kind and nearest to each other; names are those of the newer state.
    """
    for what, of in (("fastener", _fasteners), ("hole", _holes)):
        yield from _compared(list(of(old)), list(of(new)), what)


def _fasteners(knife: Knife) -> Iterator[_Place]:
    for fastener, name in zip(knife.fasteners, knife.hole_ids[: len(knife.fasteners)], strict=True):
        yield _Place(name, fastener.x, fastener.y, type(fastener.hardware), fastener)


def _holes(knife: Knife) -> Iterator[_Place]:
    for hole, name in zip(knife.holes, knife.hole_ids[len(knife.fasteners) :], strict=True):
        x, y = hole.axis.mean(axis=0).tolist()
        yield _Place(name, x, y, (type(hole), hole.purpose), hole)


def _compared(old: Sequence[_Place], new: Sequence[_Place], what: str) -> Iterator[str]:
    pairs = sorted(
        (
            (math.dist((a.x, a.y), (b.x, b.y)), i, k)
            for i, a in enumerate(old)
            for k, b in enumerate(new)
            if a.kind == b.kind
        )
    )
    met: dict[int, int] = {}
    for _, i, k in pairs:
        if i not in met and k not in met.values():
            met[i] = k
    for i, a in enumerate(old):
        if i in met:
            yield from _one(a, new[met[i]], what)
        else:
            yield f"{what} {a.name} at {_at(a)} is gone"
    for k, b in enumerate(new):
        if k not in met.values():
            yield f"{what} {b.name} at {_at(b)} is new: {shown_value(b.value, what)}"


def _one(old: _Place, new: _Place, what: str) -> Iterator[str]:
    name = f"{what} {new.name}" + ("" if new.name == old.name else f" (was {old.name})")
    if moved := _way(new.x - old.x, new.y - old.y):
        yield f"{name} moved {moved}"
    elif new.name != old.name:
        yield f"{what} {old.name} is called {new.name} now"
    skip = {"x", "y", "start", "end"}
    for field in vars(new.value) if hasattr(new.value, "__dict__") else ():
        if field not in skip and not field.startswith("_") and field in _declared(new.value):
            yield from changed_fields(getattr(old.value, field), getattr(new.value, field), f"{name}, {field}")
    yield from _turned(old.value, new.value, name)


def _declared(value: object) -> set[str]:
    return set(getattr(type(value), "__dataclass_fields__", {}))


def _turned(old: object, new: object, name: str) -> Iterator[str]:
    """A slot that turned or grew about its middle."""
    if isinstance(old, Fastener) or not hasattr(old, "axis") or not hasattr(new, "axis"):
        return
    (a, b), (c, d) = ((ends[-1] - ends[0]).tolist() for ends in (old.axis, new.axis))
    if math.dist((a, b), (c, d)) > STILL:
        was, now = math.hypot(a, b), math.hypot(c, d)
        turn = math.degrees(math.atan2(d, c) - math.atan2(b, a))
        yield f"{name}: its axis of {show_length(was)} becomes {show_length(now)}, turned by {turn:.1f} degrees"


def _way(dx: float, dy: float) -> str:
    """A move in words: ahead is to the tip, up to the spine."""
    parts = []
    for size, ahead, back in ((dx, "ahead", "aft"), (dy, "up", "down")):
        if abs(size) > STILL:
            parts.append(f"{told_length(abs(size))} {ahead if size > 0 else back}")
    return " and ".join(parts)


def _at(place: _Place) -> str:
    return show_place(place.x, place.y)
