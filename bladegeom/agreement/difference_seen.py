"""One thing that is not as it was agreed, in the customer's words."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from bladegeom.agreement.agreed import Table
from bladegeom.agreement.measured_words import MEASURE_WORDS, limits_words
from bladegeom.agreement.sights import Kind, Sight, shown_fields, sight_of
from bladegeom.agreement.state import IS, MARKED, Felt, is_line
from bladegeom.order.order_ways import Measured
from bladegeom.quantities.balance_bands import from_front
from bladegeom.quantities.units import show_angle, show_length, show_mass, show_mm, show_place
from bladegeom.studies.field_words import closed_lines

NONE: Final = "none"
_ANSWERS: Final = {True: "yes", False: "no"}
_CALLED: Final = {"MarkZone": "mark", "TextureZone": "texture", "Artwork": "drawing"}
"""Classes whose own names no customer would use."""

_LAST: Final = re.compile(r", (?=\D)")
"""Before the next name in what differs: numbers of entries belong together."""

_QUOTED: Final = ("order", "mark", "finish", "price")
"""Kinds whose texts are somebody's own words."""


@dataclass(frozen=True, kw_only=True)
class Difference:
    """One thing that differs.

    Args:
        what: It is, such as "thickness of the steel".
        was: As it was agreed, in words.
        now: As it is.
        kind: Of what is agreed.
        is_seen: Whether a customer can see or feel it.
        asked: Measures, features and parts by which an order asks for it.
        x: Place in the design's frame, where it has one, mm.
        y: Likewise.

    >>> turned = Difference(what="side of the mark", was="right", now="left", kind="mark", is_seen=True)
    >>> turned.words
    'agreed: side of the mark right; now: left'
    >>> Difference(what="pin hammered wide", was="no", now="yes", kind="hardware", is_seen=True).words
    'agreed: pin hammered wide: no; now: yes'
    """

    what: str
    was: str
    now: str
    kind: Kind
    is_seen: bool
    asked: frozenset[str] = frozenset()
    x: float | None = None
    y: float | None = None

    @property
    def words(self) -> str:
        """What was agreed and what is now."""
        last = _LAST.split(self.what)[-1]
        # What is new in a wish is told with its number: there may be many wishes.
        if self.was == NONE and (last == self.what or not self.what.startswith("requirement ")):
            return f"agreed: no {last}; now: {self.now}"
        between = ":" if self.was in (NONE, *_ANSWERS.values()) else ""
        return f"agreed: {self.what}{between} {self.was}; now: {self.now}"

    @property
    def short(self) -> str:
        """The same in fewer words."""
        if MARKED in (self.was[: len(MARKED)], self.now[: len(MARKED)]):
            return f"{self.what}: declared otherwise"
        return f"{self.what}: {self.was} becomes {self.now}"

    def of_several(self, what: str, numbers: Sequence[int]) -> Difference:
        """The same of several entries of a row, with their numbers.

        Args:
            what: Each entry is called, at the head of what this is called; empty where it has no name of its own.
            numbers: Of those entries.

        >>> metal = Difference(what="pin, metal", was="brass", now="steel", kind="material", is_seen=True)
        >>> metal.of_several("pin", [1, 2, 3]).words
        'agreed: pins 1, 2 and 3, metal brass; now: steel'
        """
        *others, last = map(str, numbers)
        listed = f"{', '.join(others)} and {last}" if others else last
        plural = "s" if others and what.isalpha() else ""
        rest = self.what.removeprefix(what)
        return dataclasses.replace(self, what=f"{what}{plural} {listed}{rest}" if what else f"{rest} {listed}")


@dataclass(frozen=True)
class At:
    """Where in a design two values are set beside each other.

    Args:
        sight: The row of the field that holds them.
        what: They are called, with what they stand in.
        kind: Of what is agreed.
        asked: Measures, features and parts by which an order asks for them.
    """

    sight: Sight
    what: str
    kind: Kind
    asked: frozenset[str]

    @property
    def is_hidden(self) -> bool:
        """Whether no customer sees it."""
        return self.sight.shows == "unseen"

    def within(self, sight: Sight) -> At:
        """A field in it."""
        what = ", ".join(filter(None, (self.what, sight.words)))
        shows_by_itself = sight.of != "Material" and sight.of != "Thread"
        kind = sight.kind if shows_by_itself else self.kind
        return At(sight, what, kind, self.asked | sight.asked)

    def numbered(self, number: object, called: str = "") -> At:
        """One entry of a row, with what it is called besides."""
        return At(self.sight, " ".join(filter(None, (self.what, str(number), called))), self.kind, self.asked)

    def differs(self, was: Any, now: Any, *, is_seen: bool) -> Difference:
        """What is to be told of two values; of a whole table, by what shows of it."""
        kind, asked = self.kind, self.asked
        for value in (was, now):
            if isinstance(value, dict) and (shown := shown_fields(value[IS])):
                kind, asked = shown[0].kind, asked | asked_of(value)
        at = At(self.sight, self.what or _class_of(was, now), kind, asked)
        was, now = (_without_its_name(state_in_words(value, self.sight), value, at.what) for value in (was, now))
        return at.worded(was, now, is_seen=is_seen)

    def worded(self, was: str, now: str, *, is_seen: bool, place: tuple[float, float] | None = None) -> Difference:
        """The same of what is in words already.

        Args:
            was: As it was agreed.
            now: As it is.
            is_seen: Whether a customer sees it.
            place: Of it in the design's frame (x, y), mm.
        """
        x, y = place or (None, None)
        return Difference(what=self.what, was=was, now=now, kind=self.kind, is_seen=is_seen, asked=self.asked, x=x, y=y)


def asked_of(value: Table) -> frozenset[str]:
    """By what an order asks for a thing: by what shows of it, and of the hardware that it holds."""
    held = (value, value.get("hardware"))
    tables = (table for table in held if isinstance(table, dict))
    return frozenset().union(*(sight.asked for table in tables for sight in shown_fields(table[IS])))


def state_in_words(value: Any, sight: Sight) -> str:
    """A value as a customer reads it."""
    if value is None or value in ("", []):
        return NONE
    if isinstance(value, bool):
        return _ANSWERS[value]
    if isinstance(value, int | float):
        return _number(value, sight)
    if isinstance(value, list) and sight.shows == "stations":
        return ", ".join(f"{show_length(thick)} at x {show_mm(x)} mm" for x, thick in value)
    if isinstance(value, list):
        return closed_lines(value) or "(" + ", ".join(state_in_words(entry, sight) for entry in value) + ")"
    if isinstance(value, dict):
        return _table(value)
    if isinstance(value, str) and sight.kind in _QUOTED and not value.isalnum() and not value.startswith(MARKED):
        return f"'{value}'"
    return str(value)


def _number(value: float, sight: Sight) -> str:
    if sight.of == Felt.__name__ and sight.field == "balance":
        return from_front(value)
    if sight.unit == "mm":
        return show_length(value)
    if sight.unit == "g":
        return show_mass(value)
    return f"{show_angle(value)} {sight.unit}" if sight.unit else f"{value:g}"


def _table(value: Table) -> str:
    """The name of what has one, else its class, with what shows of it."""
    if value[IS] == Measured.__name__ and value["measure"] in MEASURE_WORDS:
        return f"{MEASURE_WORDS[value['measure']]}: {wanted_in_words(value)}"
    for key in ("name", "text", "what"):
        if isinstance(name := value.get(key), str):
            return state_in_words(name, sight_of(value[IS], key))
    if is_line(value):
        return "another line"
    if "x" in value:
        held = value.get("hardware", value)
        return f"{class_words(held[IS])} at {show_place(value['x'], value['y'])}"
    shown = ((sight, value.get(sight.field)) for sight in shown_fields(value[IS]))
    parts = [
        f"{sight.words} {state_in_words(held, sight)}".strip() for sight, held in shown if held not in (None, "", [])
    ]
    kind = class_words(value[IS])
    return f"{kind} with {', '.join(parts)}" if parts else kind


def wanted_in_words(value: Table) -> str:
    """The limits of a table of a measured wish."""
    return limits_words(Measured(**{field: held for field, held in value.items() if field != IS}))


def _class_of(was: Any, now: Any) -> str:
    value = now if isinstance(now, dict) else was
    return class_words(value[IS]) if isinstance(value, dict) else ""


def _without_its_name(text: str, value: Any, what: str) -> str:
    """A table's words without its class where that is what it is called anyway: "flat" of a bevel "flat bevel"."""
    if not isinstance(value, dict) or not text.startswith(name := class_words(value[IS])):
        return text
    last = what.rpartition(", ")[2].rstrip("0123456789 ")
    if name in last or last in name:
        return " ".join(filter(None, (name.removesuffix(last).strip() if last in name else "", text[len(name) + 1 :])))
    return text


def class_words(name: str) -> str:
    """The name of a class as words.

    >>> class_words("TextureZone")
    'texture'
    """
    return _CALLED.get(name) or "".join(f" {letter.lower()}" if letter.isupper() else letter for letter in name).strip()
