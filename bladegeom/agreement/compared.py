"""An agreement beside the design as it is now: what differs, and which of the customer's wishes ask for it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

from bladegeom.agreement.agreed import Agreed, Table
from bladegeom.agreement.difference_seen import Difference
from bladegeom.agreement.differences import differences
from bladegeom.agreement.offer_apart import offer_differences
from bladegeom.agreement.offer_now import OfferNow

_NAMES: Final = ("measure", "what", "part", "operation")
"""Under which a way of meeting a requirement names the measure, feature, part or step."""


@dataclass(frozen=True, eq=False)
class Compared:
    """What was agreed, and what is now.

    Args:
        agreed: The agreement.
        present: The same of the design as it is now.
        offer: Of today; None where no price was agreed, or no price list is known.

    >>> import dataclasses
    >>> from bladegeom import Design, Signed
    >>> signed = Signed(customer="the cook", maker="the smith", date="2026-03-09", how="on paper")
    >>> ground = dataclasses.replace(knife.grind, sharpen_deg=15.0)
    >>> other = Design(dataclasses.replace(knife, grind=ground), agreed=design.agreeing(signed))
    >>> [difference.words for difference in other.agreement.seen]
    ['agreed: sharpening angle a side 18 degrees; now: 15 degrees']
    >>> other.errors[0].code
    'agreed-shape'
    """

    agreed: Agreed
    present: Agreed
    offer: OfferNow | None = None

    @property
    def is_of_another(self) -> bool:
        """Whether the agreement is on another order; without orders, on a knife of another name."""
        if self.agreed.order or self.present.order:
            return self.agreed.order != self.present.order
        return self.agreed.name != self.present.name

    @cached_property
    def differences(self) -> tuple[Difference, ...]:
        """Everything that differs, seen or not."""
        return (
            *differences(self.agreed.state, self.present.state),
            *(() if self.offer is None else offer_differences(self.agreed.signed, self.offer)),
        )

    @property
    def seen(self) -> tuple[Difference, ...]:
        """What of it a customer can see."""
        return tuple(difference for difference in self.differences if difference.is_seen)

    @property
    def unseen(self) -> tuple[Difference, ...]:
        """What of it no customer sees."""
        return tuple(difference for difference in self.differences if not difference.is_seen)

    @property
    def price_moved(self) -> Difference | None:
        """The agreed price and that of today, where the maker's cost has moved; a price in another currency is seen."""
        return next((difference for difference in self.unseen if difference.kind == "price"), None)

    def wishes(self, difference: Difference) -> str:
        """The requirements that ask for what differs, in the customer's words as agreed; empty without any."""
        order = self.agreed.state.get("order", {})
        asking = [wish for wish in order.get("requirements", []) if not difference.asked.isdisjoint(_names_in(wish))]
        return " and ".join(f"requirement {wish['number']} ({wish['text']!r})" for wish in asking)

    def told(self, difference: Difference) -> str:
        """A difference with the wishes that it concerns."""
        wishes = self.wishes(difference)
        return f"{wishes}: {difference.words}" if wishes else difference.words


def _names_in(wish: Table) -> Iterator[Any]:
    """All measures, features, parts and steps that a requirement names."""
    met = wish.get("met", [])
    for way in met if isinstance(met, list) else [met]:
        yield from (way[name] for name in _NAMES if name in way)
