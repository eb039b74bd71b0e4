"""Contradictions between what a knife is for, where it lives, and what it is made of."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from bladegeom.knife.finding import Finding, Severity
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.order.measures import LENGTHS, measure, measures
from bladegeom.order.order import Order, Requirement
from bladegeom.order.order_features import parts_of
from bladegeom.order.order_ways import Feature, MadeOf, Measured, Way
from bladegeom.outline.halves import HandleProfile, has_hidden_tang
from bladegeom.quantities.errors import UnknownNameError
from bladegeom.quantities.materials import SWELLS, Material, material
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length, show_mass

PRACTICE: Final = "common practice, no source"

THIN_EDGE: Final = 0.25
HARD: Final = 62.0
"""An edge thinner than this, mm, or harder than this, HRC, chips when levered. Source: common practice, no source."""

_STAINLESS_MEANS: Final = "from memory of EN 10088-1 (what is stainless), unconfirmed"

WASHED_HARD: Final = ("dishwasher", "hot soak")


def wanted(order: Order, kind: type[Way]) -> Iterator[tuple[Requirement, Way]]:
    """The ways of a kind with their requirements, of those that are decided."""
    for requirement in order.requirements:
        if requirement.weight != "open":
            yield from ((requirement, way) for way in requirement.ways if isinstance(way, kind))


def order_finding(code: str, severity: Severity, message: str, source: str = PRACTICE, **numbers: float) -> Finding:
    """A finding about the order."""
    return Finding(code=code, severity=severity, part="order", message=message, source=source, **numbers)


@rule(
    Code("order-rust", ("warning",), "the steel rusts in the life that the knife will have"),
    Code("order-rust-unknown", ("note",), "whether the steel rusts there is not known"),
)
def rust(order: Order, knife: Knife) -> Iterator[Finding]:
    """A steel that rusts, and a life that makes it rust."""
    harsh = [word for word in order.environment if word in ("salt water", "acid food", "unattended")]
    if order.cleaning in WASHED_HARD:
        harsh.append(str(order.cleaning))
    for of in _materials(order, knife, "steel") if harsh else ():
        if of.stainless is False:
            yield order_finding(
                "order-rust",
                "warning",
                f"{of.name} is no stainless steel, and the order says {' and '.join(harsh)}: it will rust and pit; "
                "take a stainless one such as 1.4116, or let the customer sign for the care",
                _STAINLESS_MEANS,
            )
        if of.kind == "steel" and of.stainless is None:
            yield order_finding(
                "order-rust-unknown",
                "note",
                f"the order says {' and '.join(harsh)}, and whether {of.name} rusts is not known here: see the steel "
                "maker's data sheet",
                _STAINLESS_MEANS,
            )


@rule(
    Code("order-abuse", ("warning",), "what the knife is to be used for breaks it as it is wanted"),
)
def abuse(order: Order, knife: Knife) -> Iterator[Finding]:
    """A thin or very hard edge, and work that levers or drives it."""
    rough = [word for word in order.use if word in ("prying", "batoning")]
    if not rough:
        return
    edge = min(knife.grind.edge_thickness, _least_wanted(order, "edge thickness", high=True))
    hard = max((_window(way)[1] for _, way in _limits(order, "hardness")), default=-math.inf)
    if edge < THIN_EDGE:
        yield order_finding(
            "order-abuse",
            "warning",
            f"an edge {show_length(edge)} thick and {' and '.join(rough)} do not go together: it chips or bends; leave "
            f"{show_length(THIN_EDGE)} or more, 0.5 mm (0.020 in) and up for such work, or promise none of it",
            measured=edge,
            limit=THIN_EDGE,
        )
    if hard >= HARD:
        yield order_finding(
            "order-abuse",
            "warning",
            f"{hard:g} HRC and {' and '.join(rough)} do not go together: the edge breaks out; temper softer, or "
            "promise none of it",
            measured=hard,
            limit=HARD,
        )


@rule(
    Code("order-tang-blows", ("warning",), "a blade for blows has a tang that is too weak for them"),
    Code("order-tang", ("error",), "the design's tang is another than the order wants"),
    Code("order-tang-unknown", ("warning",), "whether the design's tang is the one wanted cannot be told"),
)
def tang(order: Order, knife: Knife) -> Iterator[Finding]:
    """A hidden tang and heavy blows, or another tang in the order than in the design."""
    blows = [word for word in order.use if word in ("chopping", "heavy chopping", "batoning", "prying")]
    if order.tang == "hidden" and blows:
        yield order_finding(
            "order-tang-blows",
            "warning",
            f"a hidden tang and {' and '.join(blows)}: it breaks at the shoulder first; make the tang full",
        )
    if order.tang == "hidden" and knife.scales is not None:
        text = "a hidden tang is ordered, and the design has slabs on a full tang: settle which it is"
        yield order_finding("order-tang", "error", text, "the order and the design")
    elif order.tang == "hidden" and not has_hidden_tang(knife.outline.profiles):
        if any(isinstance(profile, HandleProfile) for profile in knife.outline.profiles):
            text = "a hidden tang is ordered, and the tang of the design is full: settle which it is"
            yield order_finding("order-tang", "error", text, "the order and the design")
        else:
            yield order_finding(
                "order-tang-unknown",
                "warning",
                "a hidden tang is ordered, and the design, an outline of its own without scales, does not tell that it "
                "goes into a handle block: mass, balance and lengths are told as if the steel were all of the knife; "
                "weigh and measure the finished knife",
                "the order and the design",
            )
    if order.tang == "full" and has_hidden_tang(knife.outline.profiles):
        text = "a full tang is ordered, and the tang of the design hides in a handle block: settle which it is"
        yield order_finding("order-tang", "error", text, "the order and the design")


@rule(
    Code("order-length", ("error", "warning"), "the blade is longer than is allowed where it goes, or may become so"),
)
def length_limit(order: Order, knife: Knife) -> Iterator[Finding]:
    """A blade over the stated limit, and a wish that can only be met over it."""
    if order.length_limit is None or order.length_measure not in LENGTHS:
        return
    quantity = measure(order.length_measure)
    limit, value = float(order.length_limit), quantity.of(knife)
    if value is None:
        text = (
            f"the stated limit of {show_length(limit)} is on the {quantity.name} ({quantity.how}): "
            f"{quantity.missing(knife)}"
        )
        yield order_finding("order-length", "warning", text, "the order")
        # The steel alone is no longer than the knife.
        value = knife.outline.bounds[2] - knife.outline.bounds[0]
    if value > limit + SHOP:
        yield order_finding(
            "order-length",
            "error",
            f"the blade is {show_length(value)} long ({quantity.how}), over the stated limit of {show_length(limit)} "
            f"by {show_length(value - limit)}. What local law says of it, who sells the knife and who carries it "
            "each have to find out",
            "the order",
            measured=value,
            limit=limit,
        )
    least = max((low for _, (low, _) in _windows(order, quantity.name)), default=-math.inf)
    if least > limit + SHOP:
        yield order_finding(
            "order-length",
            "error",
            f"a blade of at least {show_length(least)} is wanted ({quantity.how}), and the stated limit is "
            f"{show_length(limit)}: settle which counts",
            "the order",
            measured=least,
            limit=limit,
        )


@rule(
    Code("order-washing", ("warning",), "what the handle is made of does not stand how it is washed"),
)
def washing(order: Order, knife: Knife) -> Iterator[Finding]:
    """Scales and liners that swell, and hot alkaline water."""
    if order.cleaning not in WASHED_HARD:
        return
    for part in ("scales", "liners"):
        for of in (stuff for stuff in _materials(order, knife, part) if stuff.kind in SWELLS):
            yield order_finding(
                "order-washing",
                "warning",
                f"{part} of {of.name} and washing by {order.cleaning}: they swell, crack and come off; take a laminate "
                "such as NEMA G-10, or let the customer sign for washing by hand",
            )


@rule(
    Code("order-lighter", ("warning",), "a lighter knife is wanted and holes are not"),
)
def lighter(order: Order, knife: Knife) -> Iterator[Finding]:
    """No lightening holes, and a mass that the design does not come down to."""
    without = [
        requirement for requirement, way in wanted(order, Feature) if isinstance(way, Feature) and _no_holes(way)
    ]
    for requirement, (_, high) in _windows(order, "mass") if without else ():
        if (mass := measures()["mass"].of(knife) or 0.0) > high + SHOP:
            yield order_finding(
                "order-lighter",
                "warning",
                f"{requirement.name} wants at most {show_mass(high)}, the design has {show_mass(mass)}, and "
                f"{without[0].name} forbids lightening holes: thinner stock, a taper of the tang or lighter scales "
                "take weight out without them",
                measured=mass,
                limit=high,
            )


def _no_holes(way: Feature) -> bool:
    return way.what == "lightening" and way.absent


def _materials(order: Order, knife: Knife, part: str) -> tuple[Material, ...]:
    """Of the design, and those that the order names for that part and the table knows."""
    out = dict.fromkeys(parts_of(knife).get(part, ()))
    for _, way in wanted(order, MadeOf):
        if isinstance(way, MadeOf) and way.part == part and (of := known(way.material)):
            out.setdefault(of)
    return tuple(out)


def known(name: str) -> Material | None:
    """The material of the table, or None of a name that stands in the design alone."""
    try:
        return material(name)
    except UnknownNameError:  # traceability tells of it
        return None


def _limits(order: Order, name: str) -> list[tuple[Requirement, Measured]]:
    pairs = ((requirement, way) for requirement, way in wanted(order, Measured) if isinstance(way, Measured))
    return [(pair, way) for pair, way in pairs if way.measure == name]


def _windows(order: Order, name: str) -> list[tuple[Requirement, tuple[float, float]]]:
    return [(requirement, way.limits) for requirement, way in _limits(order, name)]


def _least_wanted(order: Order, name: str, *, high: bool) -> float:
    return min((limits[int(high)] for _, limits in _windows(order, name)), default=math.inf)


def _window(way: Measured) -> tuple[float, float]:
    """Limits, an open upper end told by the lower one."""
    low, high = way.limits
    return low, high if math.isfinite(high) else low
