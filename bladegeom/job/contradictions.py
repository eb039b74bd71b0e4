"""What in an order cannot go together. A new rule is a function here or beside, named in RULES, with its reason."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from bladegeom.body.knife import Knife
from bladegeom.job.excluding import excluding
from bladegeom.job.order import Order
from bladegeom.job.order_rules_allergy import allergies
from bladegeom.job.order_rules_brought import own_material
from bladegeom.job.order_rules_person import delivery, hands, money_and_reference, sheath
from bladegeom.job.order_rules_said import words
from bladegeom.job.order_rules_use import abuse, length_limit, lighter, rust, tang, washing
from bladegeom.job.order_rules_words import spelling
from bladegeom.reason.finding import Finding

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
