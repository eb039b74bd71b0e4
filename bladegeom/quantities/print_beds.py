"""What a printer can print on: a few sizes by name, and any other."""

from __future__ import annotations

import re
from functools import cache
from typing import Annotated

from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import FieldError, QuantityError, UnknownNameError
from bladegeom.quantities.field_rules import Becomes, Length
from bladegeom.quantities.rows import table_rows
from bladegeom.quantities.units import length, show_size

_BY = re.compile(r"\s*[x\N{MULTIPLICATION SIGN}]\s*|\s+by\s+", re.IGNORECASE)


@declared("bed", example="PrintBed(width=220.0, depth=220.0)", slots=True)
class PrintBed:
    """The rectangle that a printer can print on.

    Args:
        width: From left to right.
        depth: From front to back.

    >>> PrintBed(width=250.0, depth=210.0).size
    '250.00 x 210.00 mm (9.843 x 8.268 in)'
    """

    width: Length
    depth: Length

    @property
    def size(self) -> str:
        """In words."""
        return show_size(self.width, self.depth)


def print_bed(size: str | PrintBed) -> PrintBed:
    """A bed by the name of a usual size, or by its sides.

    Args:
        size: ``"small"``, ``"medium"`` or ``"large"``; ``"250 x 210"``; or a PrintBed, which is handed back as it is.

    Raises:
        UnknownNameError: No such name.
        FieldError: It is neither.

    >>> print_bed("medium").width, print_bed("10 in x 8 in").depth
    (220.0, 203.2)
    """
    if isinstance(size, PrintBed):
        return size
    if not isinstance(size, str):
        raise FieldError("be the size of a bed, such as '220 x 220', or one of small, medium and large")
    sides = _BY.split(size.strip())
    name = size.strip().lower()
    if name in _beds():
        return _beds()[name]
    if len(sides) != 2 and any(letter.isdigit() for letter in name):
        raise FieldError("be two sides, such as '250 x 210', or one of small, medium and large")
    if len(sides) != 2:
        raise UnknownNameError("bed", size, (*_beds(), "two sides such as 250 x 210"))
    try:
        width, depth = map(length, sides)
    except QuantityError as error:
        raise FieldError(f"be two sides, such as '220 x 220': {error.reason}") from error
    return PrintBed(width=width, depth=depth)


AnyBed = Annotated[str | PrintBed, Becomes(print_bed)]
"""A name or a size in words, or a PrintBed."""


@cache
def _beds() -> dict[str, PrintBed]:
    return {
        row["name"]: PrintBed(width=float(row["width"]), depth=float(row["depth"]))
        for row in table_rows("print_beds.csv")
    }
