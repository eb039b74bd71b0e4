"""What changed from one design to the next: the knife, its order, and the work."""

from __future__ import annotations

from bladegeom.design.design import Design
from bladegeom.quantities.declared import checked
from bladegeom.studies.difference import knife_difference, order_difference
from bladegeom.studies.work_difference import work_difference
from bladegeom.workshop.work import Work


def difference(old: Design, new: Design) -> tuple[str, ...]:
    """A sentence for each thing that is not as it was; none where the two are the same.

    Args:
        old: The design as it was.
        new: As it is.

    Raises:
        ParameterError: Something else than a design.

    >>> import dataclasses
    >>> from bladegeom import Stock
    >>> thicker = dataclasses.replace(knife, stock=Stock(steel="1.4116", thickness=4.0))
    >>> for sentence in difference(design, Design(thicker))[:3]:
    ...     print(sentence)
    stock, thickness: 3.50 mm (0.138 in) becomes 4.00 mm (0.157 in)
    mass +15.8 g, 191.1 g now
    balance 1.10 mm (0.043 in) towards the tip, measured from the handle front at the spine
    """
    checked("difference: old", old, Design)
    checked("difference: new", new, Design)
    return (
        *knife_difference(old.knife, new.knife),
        *order_difference(old.order, new.order),
        *work_difference(*((design.work or Work(), design.steps) for design in (old, new))),
    )
