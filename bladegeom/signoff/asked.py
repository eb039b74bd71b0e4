"""An order beside the design and the work that are to meet it: what the rules of signing off look at."""

from __future__ import annotations

from dataclasses import dataclass

from bladegeom.knife.knife import Knife
from bladegeom.order.order import Order
from bladegeom.signoff.traceability import Landing
from bladegeom.workshop.work import Work


@dataclass(frozen=True)
class Asked:
    """What is asked for, and what there is.

    Args:
        order: The order.
        knife: The design.
        landed: Where each requirement lands.
        work: What the maker has settled; None has settled nothing.
    """

    order: Order
    knife: Knife
    landed: tuple[Landing, ...]
    work: Work | None
