"""The work that the maker has settled, against what the order asks of it."""

from __future__ import annotations

from collections.abc import Iterator

from bladegeom.knife.finding import Finding
from bladegeom.knife.rule import Code, rule
from bladegeom.signoff.asked import Asked
from bladegeom.workshop.check_work import work_against_order


@rule(
    Code("work-hardness", ("error", "warning"), "the work tempers to another hardness than the order wants"),
    Code("work-finish", ("error", "warning"), "the work makes another surface or mark than the order wants"),
    Code("order-words", ("warning",), "words of the order and of the work do not go together"),
)
def settled_work(asked: Asked) -> Iterator[Finding]:
    """Work and order go together."""
    return iter(()) if asked.work is None else work_against_order(asked.work, asked.order, asked.knife)
