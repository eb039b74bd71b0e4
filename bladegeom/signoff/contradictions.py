"""What in an order cannot go together. A new rule is a function here or beside, named in RULES, with its reason."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.order.excluding import excluding
from bladegeom.order.order import Order
from bladegeom.order.rules_allergy import allergies
from bladegeom.order.rules_brought import own_material
from bladegeom.order.rules_person import delivery, hands, money_and_reference, sheath
from bladegeom.order.rules_use import abuse, length_limit, lighter, rust, tang, washing
from bladegeom.order.rules_words import spelling
from bladegeom.signoff.rules_said import words

RULES: Final[tuple[Callable[[Order, Knife], Iterator[Finding]], ...]] = (
    rust,
    abuse,
    tang,
    length_limit,
    washing,
    allergies,
    lighter,
    hands,
    sheath,
    own_material,
    delivery,
    money_and_reference,
    spelling,
    words,
    excluding,
)


def contradictions(order: Order, knife: Knife) -> Iterator[Finding]:
    """Everything in an order that contradicts itself, or the design that is to meet it."""
    return (finding for rule in RULES for finding in rule(order, knife))
