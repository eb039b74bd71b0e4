"""Where each requirement of an order lands: a measure of the design, a feature, a material, a step, a signature."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

from bladegeom.knife.knife import Knife
from bladegeom.mass.unweighed import unweighed
from bladegeom.order.measures import Measure, measure, measures
from bladegeom.order.order import Order, Requirement
from bladegeom.order.order_features import (
    OF_HANDLE,
    features_of,
    nearly,
    parts_of,
    same_material,
    step_on_handle,
)
from bladegeom.order.order_ways import Feature, Finish, HandCheck, MadeOf, Measured, Way
from bladegeom.order.ordered import HARDNESS
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import UnknownNameError
from bladegeom.quantities.heat_treatments import HeatTreatment
from bladegeom.quantities.materials import Material
from bladegeom.quantities.tolerances import SHOP
from bladegeom.workshop.route import route
from bladegeom.workshop.work import Work

State = Literal["met", "later", "missed", "unknown", "nowhere", "open"]


@dataclass(frozen=True, kw_only=True)
class Landing:
    """Where one way of one requirement lands.

    Args:
        requirement: Whose.
        way: In which it is met; None where the order names none.
        state: "met" by the design as it is; "later": a step or a signature will show it; "missed" by the design;
            "unknown": it points at something that does not exist; "nowhere": at nothing; "open": not decided.
        words: Where, and what stands there.
        measured: On the design, in the measure's unit.
        limit: That is missed, in the same unit.
        code: Of the finding, where it is one.

    >>> import datetime
    >>> from bladegeom import Measured, Order, Requirement, landings
    >>> way = Measured(measure="blade length", nominal=110.0, tolerance=1.0)
    >>> wish = Requirement(number=1, text="a blade of 110 mm", concerns="blade", met=way)
    >>> order = Order(number="7", customer="the cook", date=datetime.date(2026, 3, 1), requirements=(wish,))
    >>> landing = landings(order, knife)[0]
    >>> landing.state, landing.lands
    ('met', True)
    """

    requirement: Requirement
    way: Way | None
    state: State
    words: str
    measured: float | None = None
    limit: float | None = None
    code: str = ""

    @property
    def lands(self) -> bool:
        """Whether nothing is left to settle."""
        return self.state in ("met", "later")


def landings(
    order: Order, knife: Knife, operations: Iterable[str] | None = None, work: Work | None = None
) -> tuple[Landing, ...]:
    """Every way of every requirement, in the order's order; a requirement without any has one line too.

    Args:
        order: The order.
        knife: The design that is to meet it.
        operations: Keys of the steps of its route; None takes the route that follows from design and order.
        work: What the maker has settled, such as the steel's treatment; None takes the tables alone.

    Raises:
        ParameterError: No order, no knife, or no work.

    >>> import datetime
    >>> from bladegeom import Measured, Order, Requirement
    >>> way = Measured(measure="blade length", nominal=110.0, tolerance=1.0)
    >>> wish = Requirement(number=1, text="a blade of 110 mm", concerns="blade", met=way)
    >>> order = Order(number="7", customer="the cook", date=datetime.date(2026, 3, 1), requirements=(wish,))
    >>> landing = landings(order, knife)[0]
    >>> landing.state, landing.measured
    ('met', 110.0)
    """
    checked("landings: order", order, Order)
    checked("landings: knife", knife, Knife)
    checked("landings: work", work, Work | None)
    steps = _steps(order, knife) if operations is None else tuple(operations)
    design = _Design(knife, steps, Work() if work is None else work)
    return tuple(landing for requirement in order.requirements for landing in _of(requirement, design))


@dataclass(frozen=True)
class _Design:
    """What requirements are bound to: the knife, each measure taken once, and the steps of its route."""

    knife: Knife
    steps: tuple[str, ...]
    work: Work
    _taken: dict[str, float | None] = field(default_factory=dict)

    def value(self, quantity: Measure) -> float | None:
        """A measure of the knife."""
        if quantity.name not in self._taken:
            self._taken[quantity.name] = quantity.of(self.knife)
        return self._taken[quantity.name]

    @cached_property
    def parts(self) -> dict[str, tuple[Material, ...]]:
        """What each part is made of."""
        return parts_of(self.knife)

    @property
    def treatment(self) -> HeatTreatment | None:
        """How its steel is hardened, where that is known."""
        return self.work.treatment_of(self.knife.stock.material.name)

    def require_step(self, key: str) -> None:
        """Refuse a step that the route does not have."""
        if key not in self.steps:
            raise UnknownNameError("operation of this knife", key, self.steps)


def _steps(order: Order, knife: Knife) -> tuple[str, ...]:
    """Keys of the derived route, where the order points at any step."""
    points = any(
        isinstance(way, Finish)
        or (isinstance(way, Measured) and (quantity := measures().get(way.measure)) and quantity.operation)
        for requirement in order.requirements
        for way in requirement.ways
    )
    return route(knife, order).keys if points else ()


def _of(requirement: Requirement, design: _Design) -> Iterable[Landing]:
    if requirement.weight == "open":
        yield Landing(requirement=requirement, way=None, state="open", words="open: not decided", code="order-open")
        return
    if not requirement.ways:
        words = "it lands nowhere: name a measure, a feature, an operation, a material or a hand check in met"
        yield Landing(requirement=requirement, way=None, state="nowhere", words=words, code="order-unbound")
    for way in requirement.ways:
        yield _landing(requirement, way, design)


def _landing(requirement: Requirement, way: Way, design: _Design) -> Landing:
    try:
        if isinstance(way, Measured):
            return _measured(requirement, way, design)
        if isinstance(way, Feature):
            return _feature(requirement, way, design)
        if isinstance(way, MadeOf):
            return _made_of(requirement, way, design)
        if isinstance(way, Finish):
            return _finish(requirement, way, design)
    except UnknownNameError as error:
        return Landing(requirement=requirement, way=way, state="unknown", words=str(error), code="order-unknown")
    return _sign_off(requirement, way)


def _sign_off(requirement: Requirement, way: HandCheck) -> Landing:
    return Landing(requirement=requirement, way=way, state="later", words=f"sign-off by {way.signed}: {way.look}")


def _finish(requirement: Requirement, way: Finish, design: _Design) -> Landing:
    design.require_step(way.operation)
    return Landing(requirement=requirement, way=way, state="later", words=f"step {way.operation}: {way.words}")


def _made_of(requirement: Requirement, way: MadeOf, design: _Design) -> Landing:
    of = design.parts.get(way.part)
    if of is None:
        raise UnknownNameError("part of this knife", way.part, design.parts, near=())
    has = " and ".join(material.name for material in of)
    if all(same_material(way.material, material) for material in of):
        return Landing(requirement=requirement, way=way, state="met", words=f"{way.part}: {has}")
    words = f"{way.part}: {has} in the design, {way.material} asked for"
    return Landing(requirement=requirement, way=way, state="missed", words=words, code="order-material")


def _feature(requirement: Requirement, way: Feature, design: _Design) -> Landing:
    knife = design.knife
    if step := step_on_handle(knife, requirement, way, design.steps):
        words = f"{_asked(way)}: by the step {step.operation}"
        return Landing(requirement=requirement, way=way, state="later", words=words)
    has, words = features_of(knife, way)
    left_out = unweighed(knife) if way.absent and way.what in OF_HANDLE else ()
    if has != way.absent and not left_out:
        return Landing(requirement=requirement, way=way, state="met", words=f"design: {words}")
    words = f"{_asked(way)} asked for; in the design: {words}{nearly(knife, way)}"
    if left_out and not has:
        words += f", and its {' and '.join(left_out)} is no part of it: write a check on the finished knife"
    return Landing(requirement=requirement, way=way, state="missed", words=words, code="order-feature")


def _asked(way: Feature) -> str:
    text = "" if way.text is None else f" {way.text!r}"
    side = "" if way.side is None else f" on {'both faces' if way.side == 'both' else f'the {way.side} face'}"
    place = "" if way.place is None else f" on the {way.place}"
    return f"{'no ' if way.absent else ''}{way.what}{text}{place}{side}"


def _measured(requirement: Requirement, way: Measured, design: _Design) -> Landing:
    quantity = measure(way.measure)
    (low, high), wanted = way.limits, wanted_words(way)
    if quantity.operation:
        design.require_step(quantity.operation)
        words = f"step {quantity.operation}: {quantity.name} to be recorded, {wanted}"
        if quantity.name == HARDNESS:
            return _hardness(requirement, way, words, design)
        return Landing(requirement=requirement, way=way, state="later", words=words)
    value = design.value(quantity)
    if value is None:
        words = f"{quantity.name} ({quantity.how}): {quantity.missing(design.knife)}; {wanted}"
        return Landing(requirement=requirement, way=way, state="missed", words=words, code="order-measure")
    told = f"{quantity.name} ({quantity.how}) {quantity.show(value)}, {wanted}"
    # What no shop can tell in millimetres is next to nothing in grams and degrees too.
    if low - SHOP <= value <= high + SHOP:
        return Landing(requirement=requirement, way=way, state="met", words=told, measured=value)
    limit = low if value < low else high
    out = f"{quantity.show(abs(value - limit))} {'more' if value < low else 'less'} is needed"
    return Landing(
        requirement=requirement,
        way=way,
        state="missed",
        words=f"{told}: {out}",
        measured=value,
        limit=limit,
        code="order-measure",
    )


def _hardness(requirement: Requirement, way: Measured, words: str, design: _Design) -> Landing:
    """Recorded at the bench, where the steel can have it and the temper aims at it; else missed before it is cut."""
    steel, treatment, (low, high) = design.knife.stock.material.name, design.treatment, way.limits
    reach, told = treatment.reach if treatment is not None else None, f"hardness: {wanted_words(way)}"
    if design.work.hardness is not None and _apart(design.work.hardness, way.limits):
        least, most = design.work.hardness
        words = f"{told}, and the blade is tempered to {least:g} to {most:g} HRC by the work or another requirement"
    elif reach is None:
        words += f"; whether {steel} reaches it is not known here: bring its curve of tempers"
        return Landing(requirement=requirement, way=way, state="later", words=words)
    else:
        least, most = reach
        gives = f"{steel} gives {least:g} to {most:g} HRC by its table of tempers"
        if not _apart(reach, way.limits):
            words = words if least <= low and high <= most else f"{words}; {gives}"
            return Landing(requirement=requirement, way=way, state="later", words=words)
        words = f"{told}, {gives}: take another steel, or bring its maker's curve of tempers"
    return Landing(
        requirement=requirement,
        way=way,
        state="missed",
        words=words,
        measured=most if low > most else least,
        limit=low if low > most else high,
        code="order-measure",
    )


def _apart(window: tuple[float, float], other: tuple[float, float]) -> bool:
    return max(window[0], other[0]) > min(window[1], other[1])


def wanted_words(way: Measured) -> str:
    """The limits of a measured requirement in words.

    Raises:
        UnknownNameError: No such measure.
    """
    quantity = measure(way.measure)
    low, high = way.limits
    if way.nominal is not None and way.tolerance is not None:
        return f"wanted {quantity.show(float(way.nominal))} within {quantity.show(float(way.tolerance))}"
    if way.low is None:
        return f"at most {quantity.show(high)} wanted"
    return (
        f"at least {quantity.show(low)} wanted"
        if way.high is None
        else f"{quantity.show(low)} to {quantity.show(high)} wanted"
    )
