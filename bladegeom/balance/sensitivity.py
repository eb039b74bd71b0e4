"""One thing that moves the balance: a change of a design, and what the changed knife weighs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import DesignPart


@dataclass(frozen=True, kw_only=True)
class Variant:
    """A change that can be made to a design.

    Args:
        name: What is changed.
        change: To what, in numbers.
        make: Gives the changed design, or raises a BladegeomError where there can be none.
        touches: What of the design it may make wrong.
    """

    name: str
    change: str
    make: Callable[[], Knife]
    touches: tuple[DesignPart, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Sensitivity:
    """A change of a design, each made alone, and what it does.

    Args:
        name: What is changed, such as "tang taper".
        change: To what, in numbers.
        knife: The changed design; None where it cannot be built, and then so are all numbers.
        mass: Of the whole changed knife, g.
        balance: Its balance point from the handle front at the spine, + towards the tip, mm.
        mass_shift: Of the mass against the design, g.
        balance_shift: Of the balance point against the design, + towards the tip, mm.
        brings: Codes of the errors that the change brings.
        refused: Why it cannot be built; empty where it can.

    >>> from bladegeom import weigh, what_moves_balance
    >>> first = what_moves_balance(weigh(knife))[0]
    >>> first.name, first.change, round(first.mass_shift, 1)
    ('scale material', 'Juglans nigra (black walnut)', -29.4)
    """

    name: str
    change: str
    knife: Knife | None = None
    mass: float | None = None
    balance: float | None = None
    mass_shift: float | None = None
    balance_shift: float | None = None
    brings: tuple[str, ...] = ()
    refused: str = ""

    @property
    def words(self) -> str:
        """What is changed to what, and the errors that it brings, to stand in a sentence."""
        errors = f" (brings errors: {', '.join(self.brings)})" if self.brings else ""
        return f"{self.name}, {self.change}{errors}"
