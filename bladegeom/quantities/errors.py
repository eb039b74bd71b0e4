"""Exceptions of what a maker declares and of what follows from it; those of files stand in ``file_errors``.

Each inherits :class:`BladegeomError` and the builtin that a Python reader expects. A message names the part, the
value, the limit and a way out; the facts are kept as attributes so that a program can use them too.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable

from bladegeom.quantities.told import told

_MOST_NAMES = 12
"""A message lists no more known names than these."""


class BladegeomError(Exception):
    """Root of all errors raised on purpose by this library.

    >>> try:
    ...     from bladegeom import Stock, Material
    ...     Stock(steel="1084", thickness=-1.0)
    ... except BladegeomError as error:
    ...     print(error)
    ...
    stock: thickness is -1 mm; it must be more than 0 mm
    """


class QuantityError(BladegeomError, ValueError):
    """A text that should be a length, and is not.

    >>> from bladegeom import length
    >>> try:
    ...     length("four")
    ... except QuantityError as error:
    ...     print(error.text)
    ...
    four
    """

    def __init__(self, text: object, reason: str) -> None:
        self.text = text
        self.reason = reason
        super().__init__(
            f"cannot read {told(text)} as a length: {reason}; "
            "write for example '4 mm', '3/16 in', '1-1/4 in', '0.030 in'"
        )


class ParameterError(BladegeomError, ValueError):
    """A declared value that no knife can have.

    Args:
        name: Of what is refused, as "stock: thickness".
        value: As it was given.
        must: What it must do, from the verb on: "be more than 0 mm".
        shown: The value as the message shows it, where that is not its text.
        limit: What it exceeds, or the words that are known, where there is such a thing.
        field: Whose value it is; by default the last word of ``name`` behind a colon.

    >>> from bladegeom import Stock
    >>> try:
    ...     Stock(steel="1084", thickness=-1.0)
    ... except ParameterError as error:
    ...     print(error.name, error.value)
    ...
    stock: thickness -1.0
    """

    def __init__(
        self,
        name: str,
        value: object,
        must: str,
        *,
        shown: str | None = None,
        limit: object = None,
        field: str | None = None,
    ) -> None:
        self.name = name
        self.value = value
        self.must = must
        self.limit = limit
        self.part, _, last = name.rpartition(": ")
        self.field = last if field is None else field
        super().__init__(f"{name} is {value if shown is None else shown}; it must {must}")


class FieldError(BladegeomError, ValueError):
    """A value that a field cannot hold, before part and field are known; a maker meets it as a ParameterError.

    Args:
        must: What the value must do, from the verb on: "be more than 0 mm".
        like: How a maker writes one, in place of ``must``, where it is of a wrong kind.
        limit: What it exceeds, or the words that are known, where there is such a thing.
        unit: Told beside the value.
    """

    def __init__(self, must: str = "", *, like: str = "", limit: object = None, unit: str = "") -> None:
        self.must = must
        self.like = like
        self.limit = limit
        self.unit = unit
        self.item: tuple[int, object] | None = None
        super().__init__(must or like)

    def of_item(self, number: int, item: object) -> FieldError:
        """The same, told of one item of a row, counted from 1; 0 tells the item without its number."""
        self.item = number, (item if self.item is None else self.item[1])
        return self


class UnknownNameError(BladegeomError, LookupError):
    """A name that stands in no table; the nearest known names are suggested, or those that the table calls near.

    >>> from bladegeom import drill
    >>> try:
    ...     drill("1/4 ich")
    ... except UnknownNameError as error:
    ...     print(error.kind, error.suggestions)
    ...
    drill ('1/4', '1/64', '31/64')
    """

    def __init__(self, kind: str, name: str, known: Iterable[str], *, near: Iterable[str] | None = None) -> None:
        self.kind = kind
        self.name = name
        names = sorted(known)
        by_key = {_key(known_name): known_name for known_name in names}
        alike = difflib.get_close_matches(_key(name), list(by_key), n=3, cutoff=0.4)
        self.suggestions = tuple(by_key[key] for key in alike) if near is None else tuple(near)
        some = ", ".join(names[:_MOST_NAMES]) + (
            f" and {len(names) - _MOST_NAMES} more" if len(names) > _MOST_NAMES else ""
        )
        meant = _one_of([repr(s) for s in self.suggestions])
        super().__init__(
            f"no {kind} is called {told(name)}; " + (f"did you mean {meant}?" if meant else f"there are: {some}")
        )


class AgreementError(BladegeomError):
    """What cannot be taken as agreed: something is missing, open, or agreed already."""


class UndeclaredCodeError(BladegeomError, LookupError):
    """A rule that finds something under a code which it does not declare: a mistake in the rule, not in the design."""

    def __init__(self, rule: str, code: str, severity: str) -> None:
        self.rule = rule
        self.code = code
        self.severity = severity
        super().__init__(f"the rule {rule!r} found {code!r} ({severity}) and does not declare it; add it to its codes")


class UnknownTreatmentError(BladegeomError, LookupError):
    """A steel whose heat treatment stands in no table: no recipe is guessed.

    >>> import dataclasses
    >>> from bladegeom import Stock, heat_treat_card
    >>> odd = dataclasses.replace(knife, stock=Stock(steel="80CrV2", thickness=3.5))
    >>> try:
    ...     heat_treat_card(odd)
    ... except UnknownTreatmentError as error:
    ...     print(error.steel)
    ...
    80CrV2
    """

    def __init__(self, steel: str, known: Iterable[str]) -> None:
        self.steel = steel
        super().__init__(
            f"no heat treatment stands in the table for {steel}, and nothing is guessed: bring the steel maker's data "
            f"sheet as HeatTreatment(steel={steel!r}, austenitize_c=..., source=...); rows are for {', '.join(known)}"
        )


class LetterError(BladegeomError, ValueError):
    """A text with letters that the face of the papers lacks; they are never swapped for others.

    >>> from bladegeom import Drawing, Label, Printout, Sheet
    >>> word = Label(layer="NOTE", x=10.0, y=10.0, text="\u5200")
    >>> page = Sheet(width=210.0, height=297.0, drawing=Drawing(name="x", items=(word,)))
    >>> try:
    ...     Printout(sheets=(page,)).pdf
    ... except LetterError as error:
    ...     print(error.letters)
    ...
    ('刀',)
    """

    def __init__(self, text: str, letters: Iterable[str]) -> None:
        self.text = text
        self.letters = tuple(letters)
        named = ", ".join(f"{letter} (U+{ord(letter):04X})" for letter in self.letters)
        super().__init__(
            f"{text!r} cannot be printed: no face here has {named}; write it in Latin, Greek or Cyrillic letters"
        )


class CurveError(BladegeomError, ValueError):
    """A curve that cannot be built, joined, rounded or fitted as asked.

    Args:
        message: What is wrong, with the value, the limit and a way out.
        at: The place (x, y), mm, where there is one.
        value: What was asked for, or what was found.
        limit: What it exceeds or falls short of, where that is a number.

    >>> from bladegeom import arc
    >>> try:
    ...     arc((0.0, 0.0), -1.0, 0.0, 90.0)
    ... except CurveError as error:
    ...     print(error)
    ...
    an arc needs a positive radius, not -1 mm
    """

    def __init__(
        self,
        message: str,
        *,
        at: tuple[float, float] | None = None,
        value: object = None,
        limit: float | None = None,
    ) -> None:
        self.at = None if at is None else (float(at[0]), float(at[1]))
        self.value = value
        self.limit = limit
        super().__init__(message)


class OutlineError(BladegeomError, ValueError):
    """An outline that is no closed, simple, counter-clockwise loop; ``at`` is the place where there is one, mm.

    >>> from bladegeom import Outline, line
    >>> side = line((0.0, 0.0), (10.0, 0.0))
    >>> try:
    ...     Outline(edge=side, spine=side, handle_top=side, butt=side, handle_underside=side, choil=side)
    ... except OutlineError as error:
    ...     print(str(error)[:40])
    ...
    the spine must end at the origin (0, 0),
    """

    def __init__(self, message: str, at: tuple[float, float] | None = None) -> None:
        self.at = at
        place = "" if at is None else f" near x {at[0]:.2f}, y {at[1]:.2f} mm"
        super().__init__(message.replace("{at}", place))


class PlacingError(BladegeomError, ValueError):
    """Holes that cannot be placed under the rules.

    Args:
        message: What is wrong, with the value, the limit and a way out.
        value: What was asked for, or what was found; of a length in mm.
        limit: What it exceeds or falls short of; of a length in mm.
        rule: Which of the hole rules leaves no room: "web", "strip", "rim", "edge" or "width"; empty where it is none.

    >>> from bladegeom import add_lightening_row
    >>> try:
    ...     add_lightening_row(knife)
    ... except PlacingError as error:
    ...     print(str(error)[:16])
    ...
    no legal place o
    """

    def __init__(self, message: str, *, value: float | None = None, limit: float | None = None, rule: str = "") -> None:
        self.value = value
        self.limit = limit
        self.rule = rule
        super().__init__(message)


def _one_of(names: list[str]) -> str:
    """Names as a choice: a, b or c."""
    return " or ".join(filter(None, (", ".join(names[:-1]), *names[-1:])))


def _key(name: str) -> str:
    """Letters and digits only, so that '1.4116', 'en 1.4116' and 'EN-1.4116' come close to each other."""
    return "".join(c for c in name.lower() if c.isalnum())
