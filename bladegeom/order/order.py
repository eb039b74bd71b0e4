"""The customer's order as a value: who, until when, what is wanted, how each wish is met, and what was said later.

How wishes are met stands in ``order_ways.py``, the facts round them in ``order_facts.py``; ``check_order.py`` finds
what is missing or contradicts itself. A requirement that can be written at all is well formed here; whether it points
at anything is a finding there.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Final, Literal

from bladegeom.knife.require import require_all, require_kind, require_positive, told
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
from bladegeom.order.order_ways import Way, number_or_length, require_number, require_text, require_word
from bladegeom.quantities.errors import ParameterError

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


@dataclass(frozen=True, kw_only=True)
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
    """

    number: int
    text: str
    concerns: str
    weight: Weight = "must"
    met: Way | tuple[Way, ...] = ()
    open_must: bool = False
    since: datetime.date | None = None

    def __post_init__(self) -> None:
        require_number(self.number)
        part = f"requirement {self.number}"
        require_text(part, "light in the hand", text=self.text)
        require_word(f"subject of {part}", CONCERNS, concerns=self.concerns)
        require_word(f"weight of {part}", WEIGHTS, weight=self.weight)
        require_kind(part, bool, "True", open_must=self.open_must)
        object.__setattr__(self, "met", (self.met,) if isinstance(self.met, Way) else self.met)
        require_all(part, Way.__args__, 'met=Measured(measure="mass", high=180)', met=self.met)
        object.__setattr__(self, "met", self.ways)
        if len(self.ways) > MOST_WAYS:
            raise ParameterError(f"{part}: met", f"{len(self.ways)} ways", f"be at most {MOST_WAYS}: split it")
        if self.open_must and self.weight != "open":
            raise ParameterError(f"{part}: open_must", "True", 'go with weight="open"')
        if self.since is not None:
            object.__setattr__(self, "since", _date(f"{part}: since", self.since))

    @property
    def ways(self) -> tuple[Way, ...]:
        """In which it is met."""
        return tuple(self.met) if isinstance(self.met, tuple | list) else (self.met,)

    @property
    def name(self) -> str:
        """Short, with the customer's words."""
        return f"requirement {self.number} ({self.text!r})"


@dataclass(frozen=True, kw_only=True)
class Change:
    """Something said after the order was placed.

    Args:
        date: When.
        text: In the customer's words.
        answer: "accepted", "refused", or "open" while nobody has answered.
        price: What it costs, in the currency of the price list; 0 is free, None was not told.
        gate: By what time it came.
        requirement: Number of the requirement that now says it, added or reworded; its ``since`` is this date.
    """

    date: datetime.date
    text: str
    answer: Answer = "open"
    price: float | None = None
    gate: Gate | None = None
    requirement: int | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "date", _date("change: date", self.date))
        part = f"change of {self.date}"
        require_text(part, "a lanyard hole after all", text=self.text)
        require_word(f"answer to the {part}", ANSWERS, answer=self.answer)
        if self.gate is not None:
            require_word(f"gate of the {part}", GATES, gate=self.gate)
        if self.price is not None and (isinstance(self.price, bool) or not isinstance(self.price, int | float)):
            raise ParameterError(f"{part}: price", told(self.price), "be a number")
        if self.requirement is not None:
            require_number(self.requirement)

    @property
    def name(self) -> str:
        """Short, with the customer's words."""
        return f"the change of {self.date.isoformat()} ({self.text!r})"


@dataclass(frozen=True, kw_only=True)
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
    """

    number: str
    customer: str
    date: datetime.date
    requirements: tuple[Requirement, ...]
    needed_by: datetime.date | None = None
    quantity: int = 1
    changes: tuple[Change, ...] = ()
    use: tuple[str, ...] = ()
    environment: tuple[str, ...] = ()
    cleaning: str | None = None
    hand: Hand | None = None
    hand_breadth: float | str | None = None
    gloves: bool = False
    grip: str = ""
    sharpening: str = ""
    tang: Literal["full", "hidden"] | None = None
    length_limit: float | str | None = None
    length_measure: str = "blade length"
    allergies: tuple[str, ...] = ()
    sheath: Sheath | None = None
    payment: Payment | None = None
    delivery: Delivery | None = None
    lead: Lead | None = None
    references: tuple[Reference, ...] = ()
    own_materials: tuple[OwnMaterial, ...] = ()
    note: str = ""

    def __post_init__(self) -> None:
        require_text("order", "S-12", number=self.number, customer=self.customer, length_measure=self.length_measure)
        for name in ("grip", "sharpening", "note"):
            require_kind("order", str, "'left thumb stiff'", **{name: getattr(self, name)})
        object.__setattr__(self, "date", _date("order: date", self.date))
        if self.needed_by is not None:
            object.__setattr__(self, "needed_by", _date("order: needed_by", self.needed_by))
            if self.needed_by < self.date:
                must = f"not lie before the date of the order, {self.date.isoformat()}"
                raise ParameterError("order: needed_by", self.needed_by.isoformat(), must)
        require_number(self.quantity, "order: quantity")
        self._require_tuples()
        self._require_words()
        self._require_values()
        for name in ("hand_breadth", "length_limit"):
            if (value := getattr(self, name)) is not None:
                object.__setattr__(self, name, number_or_length(f"order: {name}", value))
                require_positive("order", **{name: getattr(self, name)})
        self._require_numbers()

    def _require_tuples(self) -> None:
        for name, kind, example in (
            ("requirements", Requirement, "(Requirement(number=1, ...),), with its comma"),
            ("changes", Change, "(Change(date=..., text=...),), with its comma"),
            ("references", Reference, "(Reference(what=...),), with its comma"),
            ("own_materials", OwnMaterial, "(OwnMaterial(...),), with its comma"),
            ("use", str, '("slicing", "food")'),
            ("environment", str, '("wet",), with its comma'),
            ("allergies", str, '("nickel",), with its comma'),
        ):
            require_all("order", kind, f"{name}={example}", **{name: getattr(self, name)})
            object.__setattr__(self, name, tuple(getattr(self, name)))

    def _require_words(self) -> None:
        for one in self.use:
            require_word("use", USES, use=one)
        for one in self.environment:
            require_word("environment", ENVIRONMENTS, environment=one)
        if self.cleaning is not None:
            require_word("way of cleaning", CLEANINGS, cleaning=self.cleaning)
        if self.hand is not None:
            require_word("hand", ("right", "left", "both"), hand=self.hand)
        if self.tang is not None:
            require_word("tang", ("full", "hidden"), tang=self.tang)

    def _require_values(self) -> None:
        require_kind("order", bool, "gloves=True", gloves=self.gloves)
        for name, kind in (("sheath", Sheath), ("payment", Payment), ("delivery", Delivery), ("lead", Lead)):
            if (value := getattr(self, name)) is not None:
                require_kind("order", kind, f"{kind.__name__}(...)", **{name: value})

    def _require_numbers(self) -> None:
        for name, most in (("requirements", MOST_REQUIREMENTS), ("changes", MOST_CHANGES)):
            if (count := len(getattr(self, name))) > most:
                raise ParameterError(f"order: {name}", f"{count} of them", f"be at most {most}: take several orders")
        numbers = [one.number for one in self.requirements]
        for number in numbers:
            if numbers.count(number) > 1:
                raise ParameterError("requirement: number", number, "be given once: two requirements carry it")

    def requirement(self, number: int) -> Requirement | None:
        """The requirement of that number, if there is one."""
        return next((one for one in self.requirements if one.number == number), None)


def _date(name: str, value: object) -> datetime.date:
    """A date, or its text as 2026-09-30."""
    if isinstance(value, str):
        try:
            return datetime.date.fromisoformat(value)
        except ValueError:
            raise ParameterError(name, repr(value), "be a date of the calendar, written 2026-09-30") from None
    if isinstance(value, datetime.datetime) or not isinstance(value, datetime.date):
        raise ParameterError(name, told(value), "be a date without a time, written 2026-09-30")
    return value
