"""What was agreed: who signed, and the state of the design that they signed for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

from bladegeom.agreement.signed import Signed
from bladegeom.agreement.state import Table, state_of
from bladegeom.knife.knife import Knife
from bladegeom.knife.revision_id import revision_id
from bladegeom.order.order import Order
from bladegeom.quantities.declared import checked
from bladegeom.workshop.steps import StepChange
from bladegeom.workshop.work import Work


@dataclass(frozen=True, kw_only=True, eq=False)
class Agreed:
    """An agreement on one state of one design.

    Args:
        signed: Who, when and how.
        name: Of the knife.
        order: Number of the order; empty without one.
        revision: The id of the state, such as "B-3f2a91c4".
        state: All of it that is compared later, as plain tables.

    >>> from bladegeom import Signed
    >>> signed = Signed(customer="the cook", maker="the smith", date="2026-03-09", how="on paper")
    >>> design.agreeing(signed).name
    'Rigging knife'
    """

    signed: Signed
    name: str
    order: str
    revision: str
    state: Table

    @classmethod
    def of(
        cls,
        signed: Signed,
        knife: Knife,
        order: Order | None = None,
        work: Work | None = None,
        steps: Sequence[StepChange] = (),
    ) -> Self:
        """An agreement on a design as it is now.

        Args:
            signed: Who, when and how.
            knife: What is declared.
            order: That it is made for.
            work: What is settled of the work.
            steps: What is changed in the order of work.

        Raises:
            ParameterError: A value of another kind.
        """
        checked("agreed: signed", signed, Signed)
        return cls(
            signed=signed,
            name=knife.name,
            order="" if order is None else order.number,
            revision=revision_id(knife),
            state=state_of(knife, order, work, steps),
        )


@dataclass(frozen=True)
class Spoiled:
    """A file that was to hold an agreement and does not; it is never taken for one.

    Args:
        file: Its name.
        reason: What is wrong with it, with the way out.

    >>> Spoiled("knife.agreed.toml", "the file is empty").file
    'knife.agreed.toml'
    """

    file: str
    reason: str
