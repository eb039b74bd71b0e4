"""Twist drills of the standard series and the sets they are sold in, each with its source."""

from __future__ import annotations

import re
import string
from fractions import Fraction
from functools import cache
from typing import Annotated, Final

from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import QuantityError, UnknownNameError
from bladegeom.quantities.field_rules import KnownWord, Length
from bladegeom.quantities.rows import table_rows
from bladegeom.quantities.units import length

DRILL_SERIES: Final = ("fraction", "number", "letter", "metric")

DRILL_INDEXES: Final = {
    "fractional": tuple(str(Fraction(n, 64)) for n in range(4, 33)),
    "number": tuple(f"#{n}" for n in range(60, 0, -1)),
    "letter": tuple(string.ascii_uppercase),
    "metric": tuple(f"{n / 2:g} mm" for n in range(2, 27)),
}
"""Source: common practice, no source (which sizes a boxed set spans)."""

_SAME_DIAMETER: Final = 1e-9
"""Drills closer than this, mm, are one size: far below any real step, far above the rounding of a float."""


@declared("drill", example='drill("1/4")', slots=True)
class Drill:
    """A twist drill of a standard series (one of :data:`DRILL_SERIES`); diameter in mm.

    >>> from bladegeom import drill
    >>> drill("1/4").diameter
    6.35
    """

    name: str
    series: Annotated[str, KnownWord("drill series", DRILL_SERIES)]
    diameter: Length
    source: str
    confidence: str


def drill(name: str | float) -> Drill:
    """The drill of that name, or else of that diameter.

    Args:
        name: ``"1/4"``, ``"#7"``, ``"F"``, ``"6.5 mm"``; or a diameter, as text or as a number in mm.

    Raises:
        UnknownNameError: No standard drill has that name or diameter.
        QuantityError: A number that is no length.

    >>> drill("#7").diameter, drill(6.5).name, drill("0.257 in").name
    (5.1054, '6.5 mm', 'F')
    """
    # Ten digits write a number as the table does, and so 12.7 finds the metric drill before the 1/2 in one.
    text = name if isinstance(name, str) else f"{length(name):.10g} mm"
    found = _drills_by_key().get(_drill_key(text)) or _drill_of_diameter(text)
    if found is None:
        raise UnknownNameError("drill", text, (known.name for known in drills()))
    return found


@cache
def drills(*series: str) -> tuple[Drill, ...]:
    """The drills of the given series, or of all; thinnest first, and of equal ones the fraction first.

    Raises:
        UnknownNameError: No such series.
    """
    for name in series:
        if name not in DRILL_SERIES:
            raise UnknownNameError("drill series", name, DRILL_SERIES)
    table = (
        Drill(
            name=row["name"],
            series=row["series"],
            diameter=float(row["diameter"]),
            source=row["source"],
            confidence=row["confidence"],
        )
        for row in table_rows("drills.csv")
        if not series or row["series"] in series
    )
    return tuple(sorted(table, key=lambda bit: (bit.diameter, DRILL_SERIES.index(bit.series))))


def drill_index(name: str) -> tuple[Drill, ...]:
    """The drills of a boxed set, thinnest first.

    Args:
        name: ``"fractional"`` (1/16 to 1/2 in by 64ths), ``"number"`` (#60 to #1), ``"letter"`` (A to Z) or
            ``"metric"`` (1 to 13 mm by 0.5).

    Raises:
        UnknownNameError: No such set.

    Source:
        The span of each set: common practice, no source.

    >>> index = drill_index("metric")
    >>> index[0].name, len(index)
    ('1 mm', 25)
    """
    sizes = DRILL_INDEXES.get(name.strip().lower())
    if sizes is None:
        raise UnknownNameError("drill index", name, DRILL_INDEXES)
    return tuple(drill(size) for size in sizes)


@cache
def _drills_by_key() -> dict[str, Drill]:
    return {_drill_key(bit.name): bit for bit in drills()}


def _drill_of_diameter(text: str) -> Drill | None:
    try:
        diameter = length(text)
    except QuantityError:  # not a length either: then it is an unknown name
        return None
    return next((bit for bit in drills() if abs(bit.diameter - diameter) <= _SAME_DIAMETER), None)


def _drill_key(name: str) -> str:
    """Without spaces only: a hyphen in '1-1/4' or '-3 mm' has a meaning."""
    return re.sub(r"\s", "", name.lower())
