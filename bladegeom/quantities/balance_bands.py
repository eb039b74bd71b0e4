"""Where a kind of knife is wanted to balance; each row with its source.

The rows stand in ``data/balance_bands.csv``; ``data/README.md`` says what their confidence means.
"""

from __future__ import annotations

from functools import cache
from typing import Final

from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import ParameterError, UnknownNameError
from bladegeom.quantities.field_rules import Coordinate
from bladegeom.quantities.rows import table_rows
from bladegeom.quantities.shown import balance_place
from bladegeom.quantities.told import told
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import length, show_length

DATUM: Final = "the handle front at the spine"
"""From where a balance point is told, as a blade's length is: the design's origin, whichever way the front leans."""


@declared("balance band", example="BalanceBand(low=-15, high=0)", slots=True)
class BalanceBand:
    """Where the balance point is wanted, along x from the handle front at the spine, + towards the tip, mm.

    Args:
        low: Its rear end.
        high: Its front end, more than the rear one.
        name: Of the kind of knife, or what the maker calls it.
        source: Where the numbers come from.
        confidence: ``"high"``, ``"medium"`` or ``"low"``; of the maker's own the highest.
        note: What else is to be known.

    Raises:
        ParameterError: An end that is no finite number, or ends the wrong way round.

    >>> band = BalanceBand(low=-10.0, high=5.0)
    >>> band.holds(0.0), band.miss(8.0)
    (True, 3.0)
    """

    low: Coordinate
    high: Coordinate
    name: str = "own band"
    source: str = "set by the maker"
    confidence: str = "high"
    note: str = ""

    def __post_init__(self) -> None:
        if not self.low < self.high:
            must = f"be more than low, {show_length(self.low)}; both count from {DATUM}, + towards the tip"
            raise ParameterError("balance band: high", show_length(self.high), must)

    @property
    def words(self) -> str:
        """Both ends in words, as far from the handle front at the spine as each lies."""
        rear, front = (show_length(abs(end)) if end else "0" for end in (self.low, self.high))
        if self.high <= 0:
            return f"{front} to {rear} behind {DATUM}"
        if self.low >= 0:
            return f"{rear} to {front} ahead of {DATUM}"
        return f"{rear} behind to {front} ahead of {DATUM}"

    def miss(self, balance: float) -> float:
        """How far a balance point lies ahead of the band, or, negative, behind it; 0 inside, mm."""
        return balance - min(max(balance, self.low), self.high)

    def holds(self, balance: float) -> bool:
        """Whether a balance point lies inside, as well as a shop can tell."""
        return abs(self.miss(balance)) <= SHOP


def from_front(balance: float) -> str:
    """A place along the knife in words: how far ahead of the handle front at the spine, or behind it.

    >>> from_front(-15.0), from_front(0.0)
    ('15.00 mm (0.591 in) behind the handle front at the spine', 'level with the handle front at the spine')
    """
    where = f"{side_of_front(balance)} at the spine"
    return where if abs(balance) < SHOP else f"{show_length(abs(balance))} {where}"


def as_on_a_finger(balance: float) -> str:
    """The same as exactly as a knife balances on a finger, for paper at the bench.

    >>> as_on_a_finger(-15.2), as_on_a_finger(0.3)
    ('15 mm (5/8 in) behind the handle front at the spine', 'level with the handle front at the spine')
    """
    if abs(balance) < _LEVEL:
        return from_front(0.0)
    return f"{balance_place(abs(balance)).text} {side_of_front(balance)} at the spine"


_LEVEL: Final = 0.5
"""Nearer to the handle front a finger finds no difference, mm: half of what it is told in."""


def side_of_front(balance: float) -> str:
    """On which side of the handle front a place along the knife lies.

    >>> side_of_front(-15.0), side_of_front(0.0)
    ('behind the handle front', 'level with the handle front')
    """
    if abs(balance) < SHOP:
        return "level with the handle front"
    return f"{'ahead of' if balance > 0 else 'behind'} the handle front"


def balance_band(name: str | BalanceBand) -> BalanceBand:
    """The band of a kind of knife; case and spaces do not matter.

    Args:
        name: ``"hunter"``, ``"chef"`` ...; or a BalanceBand, which is handed back as it is.

    Raises:
        UnknownNameError: No row has that name.
        ParameterError: It is neither.

    >>> balance_band("Hunter").low
    -15.0
    """
    if isinstance(name, BalanceBand):
        return name
    if not isinstance(name, str):
        raise ParameterError(
            "balance", told(name), "be a kind of knife, such as 'hunter', or BalanceBand(low=-15, high=0)"
        )
    known = {band.name: band for band in balance_bands()}
    found = known.get("".join(name.lower().split()))
    if found is None:
        raise UnknownNameError("kind of knife with a balance band", name, known)
    return found


@cache
def balance_bands() -> tuple[BalanceBand, ...]:
    """All bands, in the order of the table."""
    return tuple(
        BalanceBand(
            name=row["name"],
            low=length(row["low"]),
            high=length(row["high"]),
            source=row["source"],
            confidence=row["confidence"],
            note=row["note"],
        )
        for row in table_rows("balance_bands.csv")
    )
