"""What a field of a declared value may hold, told in its annotation: ``thickness: Length``, ``text: Words``.

A rule goes into ``Annotated``: ``Annotated[float, Between(0, 90), InUnit("degrees")]``. How the annotations become
checks stands in ``field_checks.py``, the decorator that reads them in ``declared.py``.
"""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from typing import Annotated, Any

from bladegeom.quantities.errors import FieldError, QuantityError, UnknownNameError
from bladegeom.quantities.units import length


@dataclass(frozen=True)
class Above:
    """More than a number."""

    low: float

    def holds(self, value: Any) -> bool:
        """Whether a number does it."""
        return bool(self.low < value < math.inf)

    def words(self, unit: str = "") -> str:
        """What it must be."""
        return f"more than {self.low:g}{unit}"


@dataclass(frozen=True)
class AtLeast:
    """A number or more."""

    low: float

    def holds(self, value: Any) -> bool:
        """Whether a number does it."""
        return bool(self.low <= value < math.inf)

    def words(self, unit: str = "") -> str:
        """What it must be."""
        return f"{self.low:g}{unit} or more"


@dataclass(frozen=True)
class AtMost:
    """A number or less."""

    high: float

    def holds(self, value: Any) -> bool:
        """Whether a number does it."""
        return bool(-math.inf < value <= self.high)

    def words(self, unit: str = "") -> str:
        """What it must be."""
        return f"at most {self.high:.10g}{unit}"


@dataclass(frozen=True)
class Between:
    """From a number to another, both allowed."""

    low: float
    high: float

    def holds(self, value: Any) -> bool:
        """Whether a number does it."""
        return bool(self.low <= value <= self.high)

    def words(self, unit: str = "") -> str:
        """What it must be."""
        return f"from {self.low:.10g} to {self.high:.10g}{unit}"


NumberLimit = Above | AtLeast | AtMost | Between


@dataclass(frozen=True)
class InUnit:
    """Of a number, for messages."""

    name: str


@dataclass(frozen=True)
class Like:
    """How a maker writes a value of the field, for messages about a wrong kind."""

    example: str


@dataclass(frozen=True)
class Becomes:
    """A value is kept as what a function makes of it.

    The function comes before every other check, gets whatever the maker wrote, and refuses what it cannot read with a
    :class:`FieldError` or an error of its own.
    """

    function: Callable[[Any], object]


@dataclass(frozen=True)
class Says:
    """A text that is not empty; the example goes into messages."""

    example: str

    def keep(self, value: str) -> str:
        """The text."""
        if not value.strip():
            raise FieldError(f"say something, such as {self.example!r}")
        return value


@dataclass(frozen=True)
class Matches:
    """A text of a form; what it must do is told in words."""

    form: re.Pattern[str]
    must: str

    def keep(self, value: str) -> str:
        """The text."""
        if not self.form.fullmatch(value):
            raise FieldError(self.must)
        return value


@dataclass(frozen=True)
class KnownWord:
    """A word of a long vocabulary, or of a table, which a function hands over: near ones are suggested."""

    kind: str
    words: Collection[str] | Callable[[], Collection[str]]

    def keep(self, value: str) -> str:
        """The word."""
        known = self.words() if callable(self.words) else self.words
        if value not in known:
            raise UnknownNameError(self.kind, value, known)
        return value


@dataclass(frozen=True)
class Items:
    """A row of at least and at most so many; the way out is told where there are too many."""

    least: int = 0
    most: int | None = None
    way_out: str = ""

    def keep(self, value: tuple[object, ...]) -> tuple[object, ...]:
        """The row."""
        if len(value) < self.least:
            raise FieldError(f"hold at least {'one' if self.least == 1 else self.least}", limit=self.least)
        if self.most is not None and len(value) > self.most:
            raise FieldError(f"hold at most {self.most}, not {len(value)}; {self.way_out}", limit=self.most)
        return value


def number_or_length(value: object) -> object:
    """A text as the length in mm that it names; anything else as it is.

    Raises:
        FieldError: It names none.
    """
    if not isinstance(value, str):
        return value
    try:
        return length(value)
    except QuantityError as error:
        must = "be a bare number, or a length such as '4 mm', '3/16 in'"
        raise FieldError(f"{must}: {error.reason}") from error


def _date(value: object) -> object:
    if isinstance(value, datetime.datetime):
        raise FieldError("be a date without a time, written 2026-09-30")
    if not isinstance(value, str):
        return value
    try:
        return datetime.date.fromisoformat(value)
    except ValueError:
        raise FieldError("be a date of the calendar, written 2026-09-30") from None


Positive = Annotated[float, Above(0)]
NotNegative = Annotated[float, AtLeast(0)]
Share = Annotated[float, Between(0, 1)]

Coordinate = Annotated[float, InUnit("mm")]
Length = Annotated[float, Above(0), InUnit("mm")]
Distance = Annotated[float, AtLeast(0), InUnit("mm")]
"""A length that may be 0."""

LengthOrText = Annotated[float | str, Becomes(number_or_length), Above(0), InUnit("mm")]
"""A length as a number of mm, or as a text with its unit."""

Mass = Annotated[float, Above(0), InUnit("g")]

Point = Annotated[tuple[Coordinate, Coordinate], Like("(-20.0, 4.5)")]

Count = Annotated[int, AtLeast(1)]
Date = Annotated[datetime.date, Becomes(_date)]
"""A date, or its text as 2026-09-30."""


_LEAST_LENGTH, _MOST_LENGTH = 1e-6, 1e5
"""Lengths that mean anything in a shop, mm; own choice: a nanometre, and a hundred metres."""


def require_reasonable(length: float, limits: Sequence[NumberLimit]) -> None:
    """That a length, or a place, can be computed with.

    A place may lie as near to 0 as computing has left it.

    Args:
        length: Or the place, mm.
        limits: Of it.

    Raises:
        FieldError: It is too small or too large.
    """
    if length < _LEAST_LENGTH and any(isinstance(limit, Above) for limit in limits):
        raise FieldError(f"be at least {_LEAST_LENGTH:f} mm", unit="mm")
    if abs(length) > _MOST_LENGTH:
        raise FieldError(f"be at most {_MOST_LENGTH:g} mm", unit="mm")
