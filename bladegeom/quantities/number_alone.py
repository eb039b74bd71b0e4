"""A number without its unit, for drawings and tables that say once which unit is meant."""

from __future__ import annotations

from typing import Final

from bladegeom.quantities.shown import Shown
from bladegeom.quantities.unit_order import first_unit

_UNITS: Final = (" mm", " in", " degrees")


def alone(shown: Shown) -> Shown:
    """The number alone, in both units.

    >>> alone(Shown(first="4.00 mm", second="0.157 in")).text
    '4.00 (0.157)'
    """
    return Shown(first=_alone(shown.first), second=_alone(shown.second))


def _alone(text: str) -> str:
    for unit in _UNITS:
        text = text.removesuffix(unit)
    return text


def units_alone() -> Shown:
    """The units that are meant.

    >>> units_alone().text
    'mm (inch)'
    """
    units = ("mm", "inch")
    first, second = units if first_unit() == "mm" else units[::-1]
    return Shown(first=first, second=second)
