"""The customer's order as a value: who, until when, what is wanted, how each wish is met, and what was said later.

How wishes are met stands in ``order_ways.py``, the facts round them in ``order_facts.py``; ``check_order.py`` finds
what is missing or contradicts itself. A requirement that can be written at all is well formed here; whether it points
at anything is a finding there.
"""

from __future__ import annotations

from typing import Annotated, Final, Literal

from bladegeom.order.order_facts import (
    CLEANINGS,
    ENVIRONMENTS,
    USES,
    Delivery,
    Hand,
    Lead,
    OwnMaterial,
    Payment,
    Reference,
    Sheath,
)
from bladegeom.order.order_ways import Way
from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Count, Date, Items, KnownWord, LengthOrText, Like, Says

CONCERNS: Final = {
    "use": "what it is for and must stand",
    "blade": "its shape and size",
    "edge": "its thickness, angle and sharpness",
    "steel": "alloy, hardness",
    "surface": "finish, patina, etch, texture",
    "handle": "its shape, size and materials",
    "weight": "mass and balance",
    "lanyard": "hole, tube, cord",
    "mark": "texts and marks",
    "sheath": "and how it is carried",
    "care": "cleaning, allergies, food",
    "delivery": "date, packing, privacy",
    "price": "budget and payment",
}
"""What a requirement is about."""

Weight = Literal["must", "wish", "open"]
Answer = Literal["accepted", "refused", "open"]
Gate = Literal["before cutting", "before hardening", "after hardening"]

WEIGHTS: Final[tuple[Weight, ...]] = ("must", "wish", "open")
ANSWERS: Final[tuple[Answer, ...]] = ("accepted", "refused", "open")
GATES: Final[tuple[Gate, ...]] = ("before cutting", "before hardening", "after hardening")

MOST_REQUIREMENTS: Final = 200
MOST_WAYS: Final = 20
MOST_CHANGES: Final = 200
"""No knife has more; own choice. All pairs of them are compared."""

_SEVERAL: Final = "take several orders"


@declared("requirement {number}", example="Requirement(number=1, text=..., concerns=...)")
class Requirement:
    """One thing that the customer asked for.

    Args:
        number: From 1 on, its own.
        text: In the customer's words.
        concerns: One of :data:`CONCERNS`.
        weight: "must" and "wish" as the customer means it; "open" where it is not decided yet.
        met: By one way or several, all of which count; empty where nobody knows yet.
        open_must: Of an open one: whether the knife cannot be made before it is decided.
        since: Date of the change that it comes from, if it was not in the order from the start.

    >>> from bladegeom import Measured
    >>> way = Measured(measure="blade length", high=110.0)
    >>> Requirement(number=1, text="short", concerns="blade", met=way).name
    "requirement 1 ('short')"
    """

    number: Count
    text: Annotated[str, Says("light in the hand")]
    concerns: Annotated[str, KnownWord("subject of a requirement", tuple(CONCERNS))]
    weight: Weight = "must"
    met: Annotated[
        Way | tuple[Way, ...], Like('Measured(measure="mass", high=180)'), Items(most=MOST_WAYS, way_out="split it")
    ] = ()
    open_must: bool = False
    since: Date | None = None

    def __post_init__(self) -> None:
        if self.open_must and self.weight != "open":
            raise ParameterError(f"requirement {self.number}: open_must", "True", 'go with weight="open"')

    @property
    def ways(self) -> tuple[Way, ...]:
        """In which it is met."""
        return tuple(self.met) if isinstance(self.met, tuple | list) else (self.met,)

    @property
    def name(self) -> str:
        """Short, with the customer's words."""
        return f"requirement {self.number} ({self.text!r})"


@declared("change of {date}", example="Change(date=..., text=...)")
class Change:
    """Something said after the order was placed.

    Args:
        date: When.
        text: In the customer's words.
        answer: "accepted", "refused", or "open" while nobody has answered.
        price: What it costs, in the currency of the price list; 0 is free, None was not told.
        gate: By what time it came.
        requirement: Number of the requirement that now says it, added or reworded; its ``since`` is this date.

    >>> import datetime
    >>> Change(date=datetime.date(2026, 3, 9), text="a longer handle", answer="accepted", price=20.0).price
    20.0
    """

    date: Date
    text: Annotated[str, Says("a lanyard hole after all")]
    answer: Answer = "open"
    price: float | None = None
    gate: Gate | None = None
    requirement: Count | None = None

    @property
    def name(self) -> str:
        """Short, with the customer's words."""
        return f"the change of {self.date.isoformat()} ({self.text!r})"


@declared("order", example='Order(number="S-12", customer=..., date=..., requirements=(...))')
class Order:
    """One order for one design.

    Args:
        number: As the maker counts them.
        customer: As the maker calls them.
        date: Of the order.
        requirements: Numbered, each number once.
        needed_by: When it must be there; None has no date.
        quantity: How many of this design.
        changes: What was said later, oldest first.
        use: Words of :data:`USES`, the worst abuse that is expected among them.
        environment: Words of :data:`ENVIRONMENTS`.
        cleaning: A word of :data:`CLEANINGS`; None was not told.
        hand: That holds it; None was not told.
        hand_breadth: Across the knuckles without the thumb, mm or a length as text.
        gloves: Whether it is held with gloves.
        grip: How it is held, and what hurts, in words.
        sharpening: What the customer can sharpen with, in words.
        tang: Kind of tang that was asked for; None leaves it to the maker.
        length_limit: The longest blade allowed where it is carried, mm or a length as text.
        length_measure: Convention by which that limit counts: one of ``LENGTHS`` in ``order/measures.py``.
        allergies: Such as "nickel".
        sheath: None is none.
        payment: Budget and who pays what.
        delivery: Where to, why then.
        lead: Days that the work takes.
        references: "Like this one".
        own_materials: What the customer brings.
        note: Anything else.

    Raises:
        ParameterError: Wrong kinds, a date before the order's, two requirements with one number.
        UnknownNameError: A word that is not in the vocabulary; near ones are suggested.

    >>> import datetime
    >>> from bladegeom import Requirement
    >>> wish = Requirement(number=1, text="short", concerns="blade")
    >>> order = Order(number="7", customer="the cook", date=datetime.date(2026, 3, 1), requirements=(wish,))
    >>> order.quantity
    1
    """

    number: Annotated[str, Says("S-12")]
    customer: Annotated[str, Says("ship's cook")]
    date: Date
    requirements: Annotated[tuple[Requirement, ...], Items(most=MOST_REQUIREMENTS, way_out=_SEVERAL)]
    needed_by: Date | None = None
    quantity: Count = 1
    changes: Annotated[tuple[Change, ...], Items(most=MOST_CHANGES, way_out=_SEVERAL)] = ()
    use: Annotated[tuple[Annotated[str, KnownWord("use", tuple(USES))], ...], Like('("slicing", "food")')] = ()
    environment: Annotated[
        tuple[Annotated[str, KnownWord("environment", tuple(ENVIRONMENTS))], ...], Like('("wet",), with its comma')
    ] = ()
    cleaning: Annotated[str, KnownWord("way of cleaning", tuple(CLEANINGS))] | None = None
    hand: Hand | None = None
    hand_breadth: LengthOrText | None = None
    gloves: bool = False
    grip: str = ""
    sharpening: str = ""
    tang: Literal["full", "hidden"] | None = None
    length_limit: LengthOrText | None = None
    length_measure: Annotated[str, Says("blade length")] = "blade length"
    allergies: Annotated[tuple[str, ...], Like('("nickel",), with its comma')] = ()
    sheath: Sheath | None = None
    payment: Payment | None = None
    delivery: Delivery | None = None
    lead: Lead | None = None
    references: tuple[Reference, ...] = ()
    own_materials: tuple[OwnMaterial, ...] = ()
    note: str = ""

    def __post_init__(self) -> None:
        if self.needed_by is not None and self.needed_by < self.date:
            must = f"not lie before the date of the order, {self.date.isoformat()}"
            raise ParameterError("order: needed_by", self.needed_by.isoformat(), must)
        numbers = [requirement.number for requirement in self.requirements]
        for number in numbers:
            if numbers.count(number) > 1:
                raise ParameterError("requirement: number", number, "be given once: two requirements carry it")

    def requirement(self, number: int) -> Requirement | None:
        """The requirement of that number, if there is one."""
        return next((requirement for requirement in self.requirements if requirement.number == number), None)
