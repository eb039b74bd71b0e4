"""A number as it is read: in the unit that is told first, and in the other one, which is printed smaller."""

from __future__ import annotations

from dataclasses import dataclass

from bladegeom.quantities.unit_order import first_unit
from bladegeom.quantities.units import show_inches, show_mm


@dataclass(frozen=True, kw_only=True)
class Shown:
    """A number in words.

    Args:
        first: In the unit that is told first.
        second: In the other one; empty where there is none.

    >>> Shown(first="4.00 mm", second="0.157 in").text
    '4.00 mm (0.157 in)'
    """

    first: str
    second: str = ""

    @property
    def text(self) -> str:
        """Both, for running text."""
        return f"{self.first} ({self.second})" if self.second else self.first


def caliper_length(mm: float) -> Shown:
    """A length that calipers or a micrometer tell: hundredths of a mm, thousandths of an inch.

    Raises:
        QuantityError: ``mm`` is not finite.

    >>> caliper_length(4.0).text
    '4.00 mm (0.157 in)'
    """
    both = f"{show_mm(mm)} mm", f"{show_inches(mm)} in"
    first, second = both if first_unit() == "mm" else both[::-1]
    return Shown(first=first, second=second)
