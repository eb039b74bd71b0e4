"""An agreement on a design as it is now."""

from __future__ import annotations

from collections.abc import Sequence

from bladegeom.agreement.agreed import Agreed
from bladegeom.agreement.signed import Signed
from bladegeom.agreement.state import state_of
from bladegeom.knife.knife import Knife
from bladegeom.knife.revision_id import revision_id
from bladegeom.order.order import Order
from bladegeom.quantities.declared import checked
from bladegeom.workshop.steps import StepChange
from bladegeom.workshop.work import Work


def agree(
    signed: Signed,
    knife: Knife,
    order: Order | None = None,
    work: Work | None = None,
    steps: Sequence[StepChange] = (),
) -> Agreed:
    """What two people sign for.

    Args:
        signed: Who, when and how.
        knife: What is declared.
        order: That it is made for.
        work: What is settled of the work.
        steps: What is changed in the order of work.

    Raises:
        ParameterError: No signature.
    """
    checked("agree: signed", signed, Signed)
    return Agreed(
        signed=signed,
        name=knife.name,
        order="" if order is None else order.number,
        revision=revision_id(knife),
        state=state_of(knife, order, work, steps),
    )
