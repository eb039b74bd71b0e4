"""Two requirements that exclude each other: no design can meet both."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Iterator
from typing import Final

from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.order.measures import measures
from bladegeom.order.order import Order, Requirement
from bladegeom.order.order_ways import Feature, Finish, MadeOf, Measured, Way, parts_named
from bladegeom.order.rules_use import known

_SHEENS: Final = {"mirror", "polished", "satin", "brushed", "matt", "blasted", "stonewashed"}
"""Words for a surface of which one place has only one."""

_MARKINGS: Final = {"etched", "engraved", "stamped", "punched", "chiselled"}
"""Words for how a mark is made."""

_PLACES: Final = {"flat", "flats", "bevel", "bevels", "ricasso", "spine", "tang", "edge", "choil", "right", "left"}
"""Words for a place; two sheens that name different ones can both be had."""


@rule(
    Code("order-ranges", ("error", "warning"), "another must leaves no room for it", missed=True),
    Code("order-materials", ("error", "warning"), "another must wants another material", missed=True),
    Code("order-texts", ("error", "warning"), "another must wants another text there", missed=True),
    Code("order-features", ("error", "warning"), "another must wants the feature away", missed=True),
    Code("order-finishes", ("error", "warning"), "another must wants another sheen there", missed=True),
)
def excluding(order: Order, knife: Knife) -> Iterator[Finding]:
    """Pairs of requirements, or of ways of one, that exclude each other."""
    pairs = [
        (requirement, way)
        for requirement in order.requirements
        if requirement.weight != "open"
        for way in requirement.ways
    ]
    for (requirement, a), (other, b) in itertools.combinations(pairs, 2):
        for clash in _CLASHES:
            if told := clash(a, b, knife):
                yield _finding(*told, requirement, other)


def _finding(code: str, why: str, requirement: Requirement, other: Requirement) -> Finding:
    """An error where both must be met; a wish gives way to a must, and that is worth a warning."""
    names = requirement.name if requirement is other else f"{requirement.name} and {other.name}"
    return Finding(
        code=code,
        severity="error" if requirement.weight == other.weight == "must" else "warning",
        part="order",
        message=f"{names} exclude{'s itself' if requirement is other else ' each other'}: {why}; settle which counts",
        source="the order",
    )


def _ranges(a: Way, b: Way, _: Knife) -> tuple[str, str] | None:
    if not (isinstance(a, Measured) and isinstance(b, Measured) and a.measure == b.measure):
        return None
    measure = measures().get(a.measure)
    low, high = max(a.limits[0], b.limits[0]), min(a.limits[1], b.limits[1])
    if measure is None or low <= high:
        return None
    return "order-ranges", f"{measure.name} at least {measure.show(low)} and at most {measure.show(high)}"


def _materials(a: Way, b: Way, _: Knife) -> tuple[str, str] | None:
    if not (isinstance(a, MadeOf) and isinstance(b, MadeOf) and a.part == b.part):
        return None
    first, second = (of.name if (of := known(way.material)) else way.material for way in (a, b))
    return None if first == second else ("order-materials", f"{a.part} of {first} and of {second}")


def _texts(a: Way, b: Way, knife: Knife) -> tuple[str, str] | None:
    """Two texts for one face; a design that has a field for each shows that both are meant."""
    if not (isinstance(a, Feature) and isinstance(b, Feature) and a.what == b.what == "mark"):
        return None
    if a.absent or b.absent or a.text is None or b.text is None or a.text == b.text or not _one_face(a, b):
        return None
    fields = {text for zone in knife.zones if (text := getattr(zone, "text", None))}
    return None if {a.text, b.text} <= fields else ("order-texts", f"the mark {a.text!r} and the mark {b.text!r}")


def _features(a: Way, b: Way, _: Knife) -> tuple[str, str] | None:
    if not (isinstance(a, Feature) and isinstance(b, Feature) and a.what == b.what):
        return None
    if a.absent != b.absent:
        wanted, unwanted = (b, a) if a.absent else (a, b)
        return ("order-features", f"with and without {a.what}") if _takes_away(unwanted, wanted) else None
    if a.absent:
        return None
    if a.what == "one-sided grind" and not _one_face(a, b):
        return "order-features", f"ground on the {a.side} face alone and on the {b.side} face alone"
    alike = a.what != "grind" or _kinds(a) <= _kinds(b) or _kinds(b) <= _kinds(a)
    return None if alike else ("order-features", f"a {a.text} grind and a {b.text} grind")


def _finishes(a: Way, b: Way, _: Knife) -> tuple[str, str] | None:
    if not (isinstance(a, Finish) and isinstance(b, Finish) and a.operation == b.operation and _one_part(a, b)):
        return None
    if not exclude(a.finish, b.finish):
        return None
    return "order-finishes", f"{a.operation} {a.finish!r} and {b.finish!r}"


def exclude(place: str, other: str) -> bool:
    """Whether two texts say another sheen of one place, or another way of marking."""
    said = [set(re.findall(r"[a-z]+", text.lower())) for text in (place, other)]
    here, there = (_PLACES & words for words in said)
    if here and there and here.isdisjoint(there):
        return False
    each = ([kinds & words for words in said] for kinds in (_SHEENS, _MARKINGS))
    return any(first and second and not first & second for first, second in each)


def _takes_away(unwanted: Feature, wanted: Feature) -> bool:
    """Whether a feature that is to be absent is the one that is wanted: another side, text or kind is another."""
    if not _one_part(unwanted, wanted):
        return False
    everywhere = unwanted.side in (None, "both")
    if not everywhere and (wanted.side is None or not _one_face(unwanted, wanted)):
        return False
    if unwanted.text is None:
        return True
    if wanted.text is None:
        return False
    return unwanted.text == wanted.text if unwanted.what == "mark" else _kinds(unwanted) <= _kinds(wanted)


def _kinds(way: Feature) -> set[str]:
    return set((way.text or "").lower().replace(",", "").split())


def _one_part(a: Feature | Finish, b: Feature | Finish) -> bool:
    """Whether both may be meant for one part of the knife."""
    return a.place is None or b.place is None or not parts_named(a.place).isdisjoint(parts_named(b.place))


def _one_face(a: Feature, b: Feature) -> bool:
    return None in (a.side, b.side) or "both" in (a.side, b.side) or a.side == b.side


_CLASHES: Final[tuple[Callable[[Way, Way, Knife], tuple[str, str] | None], ...]] = (
    _ranges,
    _materials,
    _texts,
    _features,
    _finishes,
)
