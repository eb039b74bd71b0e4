"""Money as exact decimals: rounded where it is said, and shown with its currency."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from typing import Annotated, Final

from bladegeom.quantities.field_rules import Above, AtMost, Between, InUnit

NOTHING: Final = Decimal(0)

MOST: Final = Decimal(10) ** 9
"""No price and no number in a price list is greater; own choice: beyond it a slip of the keyboard is certain."""

Amount = Annotated[Decimal, Between(0, 10**9)]
"""In the currency of the list, or how many."""

PositiveAmount = Annotated[Decimal, Above(0), AtMost(10**9)]

Percent = Annotated[Decimal, Between(0, 1000), InUnit("%")]
"""No percentage is greater; own choice: beyond it a slip of the keyboard is certain."""

_PLACES: Final = Decimal("0.000001")
"""A measured quantity goes into a price to this many decimals, far below any coin."""


def counted(measured: float) -> Decimal:
    """A measured number as a decimal of six places, half up."""
    return Decimal(repr(measured)).quantize(_PLACES, ROUND_HALF_UP)


def rounded(amount: Decimal, step: Decimal) -> Decimal:
    """To the nearest multiple of a step, half up.

    >>> rounded(Decimal("2.345"), Decimal("0.01"))
    Decimal('2.35')
    """
    return (amount / step).to_integral_value(ROUND_HALF_UP) * step


def rounded_up(amount: Decimal, step: Decimal) -> Decimal:
    """To the next multiple of a step that is not less.

    >>> rounded_up(Decimal("201.20"), Decimal("5"))
    Decimal('205')
    """
    return (amount / step).to_integral_value(ROUND_CEILING) * step


def total(amounts: Iterable[Decimal]) -> Decimal:
    """The sum."""
    return sum(amounts, NOTHING)


def in_coin(amount: Decimal, coin: Decimal) -> str:
    """With the decimals of the smallest coin.

    >>> in_coin(Decimal("1234.5"), Decimal("0.01"))
    '1234.50'
    """
    return f"{rounded(amount, coin).quantize(coin):f}"


def trimmed(number: Decimal) -> str:
    """A number without needless zeros, at most three decimals.

    >>> trimmed(Decimal("1.500000")), trimmed(Decimal("200"))
    ('1.5', '200')
    """
    text = f"{number.quantize(Decimal('0.001'), ROUND_HALF_UP):f}"
    return text.rstrip("0").rstrip(".")
