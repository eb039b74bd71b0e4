"""One step of the work on a knife: what is done, its numbers, what to mind, and the blanks to fill in."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Annotated, Final, Literal

from bladegeom.drilling.row import CardRow
from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Like, Matches
from bladegeom.quantities.shown import oven_range, oven_temperature, room_to_buy, scale_mass
from bladegeom.quantities.temperature import show_difference
from bladegeom.quantities.units import show_angle, show_length

PRACTICE: Final = "common practice, no source"

Unit = Literal["mm", "g", "deg", "C", "K", "HRC", "min", "h", "s", "L", "count", "yes/no", "text"]

_MUST: Final = "be a short name in small letters, such as 'engrave' or 'blue_spine'"
_KEY: Final = re.compile(r"[a-z][a-z0-9_]{0,39}")


@declared("{what}", example='Number(what="depth", value=0.1)')
class Number:
    """A number of the job: one that is set, or one that is measured and written into a blank.

    Args:
        what: It tells.
        unit: Of all its values; "yes/no" and "text" have none.
        value: As designed; None where there is none to tell.
        low: Least that is right; None where no limit is known.
        high: Greatest that is right; None where no limit is known.
        source: Of the limits or the value, where it is not the design.
        note: How it is measured, or what it means.
        measure: Name under which the same is measured on the design, for requirements; empty where it is none.
        room: Whether the value is a length to buy or to keep free: told to the next whole mm and eighth of an inch.

    Raises:
        ParameterError: A value that is no finite number, an unknown unit, or limits the wrong way round.

    >>> Number(what="height", value=31.0, low=30.5, high=31.5).limits
    '30.50 mm (1.201 in) to 31.50 mm (1.240 in)'
    """

    what: str
    unit: Unit = "mm"
    value: float | None = None
    low: float | None = None
    high: float | None = None
    source: str = ""
    note: str = ""
    measure: str = ""
    room: bool = False

    def __post_init__(self) -> None:
        if self.low is not None and self.high is not None and self.low > self.high:
            raise ParameterError(f"{self.what}: low", f"{self.low:g}", f"be at most high, {self.high:g}")

    @property
    def text(self) -> str:
        """The value in the units of the shop, both systems side by side; empty where there is none."""
        if self.value is None:
            return ""
        return room_to_buy(self.value).text if self.room else _shown(self.value, self.unit)

    @property
    def limits(self) -> str:
        """The limits in words; empty where there are none."""
        low, high = self.low, self.high
        if low is not None and high is not None:
            return _span(low, high, self.unit)
        if low is not None:
            return f"at least {_shown(low, self.unit)}"
        return "" if high is None else f"at most {_shown(high, self.unit)}"


@declared("operation {key}", example='Operation(key="engrave", title="Engrave")')
class Operation:
    """One step of the work.

    Args:
        key: A short name that stays: requirements, hours and moves use it.
        title: As it is called on the card.
        tasks: What is done, in order.
        numbers: To set, scribe or expect.
        rests: How long something must have lain or set before the step begins; each with its source.
        within: In what time something must be done; each with its source.
        waits: How long something must be left alone in the step or after it; each with its source.
        rows: Of the drill card, done in this step.
        blanks: To be measured and written down. Initials have a blank in every step.
        cautions: For this step only.
        finish: That the order asks of it.
        need: Why the design cannot do without it; empty where it may be dropped.
        before: Keys of steps that must come later.
        after: Keys of steps that must come earlier.

    Raises:
        ParameterError: A key that is no short name, or values of another kind.

    >>> Operation(key="logo", title="Engrave the logo", tasks=("engrave",)).title
    'Engrave the logo'
    """

    key: Annotated[str, Like('"engrave"'), Matches(_KEY, _MUST)]
    title: Annotated[str, Like('"Engrave the bolster"')]
    tasks: tuple[str, ...] = ()
    numbers: tuple[Number, ...] = ()
    rests: tuple[Number, ...] = ()
    within: tuple[Number, ...] = ()
    waits: tuple[Number, ...] = ()
    rows: tuple[CardRow, ...] = ()
    blanks: tuple[Number, ...] = ()
    cautions: tuple[str, ...] = ()
    finish: str = ""
    need: str = ""
    before: tuple[str, ...] = ()
    after: tuple[str, ...] = ()


def own_blank(what: str, unit: Unit = "text", note: str = "") -> Number:
    """A blank for something that the design does not tell beforehand."""
    return Number(what=what, unit=unit, note=note)


def _shown(value: float, unit: Unit) -> str:
    if unit in _SHOWS:
        return _SHOWS[unit](value)
    number = show_angle(value) if unit == "deg" else f"{value:{_FORMS.get(unit, 'g')}}"
    return f"{number}{_ENDS.get(unit, '')}"


def _span(low: float, high: float, unit: Unit) -> str:
    if unit == "C":
        return oven_range(low, high).text
    ends = _shown(low, unit), _shown(high, unit)
    if ends[0] == ends[1]:
        return ends[0]
    tail = _ENDS.get(unit, "")
    return f"{ends[0].removesuffix(tail) if tail else ends[0]} to {ends[1]}"


_SHOWS: Final[dict[str, Callable[[float], str]]] = {
    "mm": show_length,
    "g": lambda grams: scale_mass(grams).text,
    "C": lambda celsius: oven_temperature(celsius).text,
    "K": show_difference,
}
_FORMS: Final[dict[str, str]] = {"HRC": ".1f", "s": ".0f", "L": ".1f", "min": "g", "h": "g"}
_ENDS: Final[dict[str, str]] = {
    "g": " g",
    "deg": " degrees",
    "HRC": " HRC",
    "s": " s",
    "L": " L",
    "min": " min",
    "h": " h",
}
