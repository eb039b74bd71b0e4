"""Which errors a change of a design brings, by those checks alone that the change can touch.

How a stack misses its limits is asked for, not how to mend it: that search takes longer than everything else here.
Marks and texture are left out: their places follow the drawing of the blade.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator

from bladegeom.checks.edge import check_edge
from bladegeom.checks.holes import check_holes
from bladegeom.checks.net_section import check_net_section
from bladegeom.checks.outline import check_outline
from bladegeom.checks.plunge import check_plunge
from bladegeom.checks.scales import check_scales
from bladegeom.checks.stack_border import check_stack_border
from bladegeom.checks.stack_bores import check_stack_bores
from bladegeom.checks.steel import check_steel
from bladegeom.fasteners.stack import stacks
from bladegeom.fasteners.stack_limits import missed
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife

Errors = Callable[[Knife], Iterator[str]]
"""Codes of the errors of one kind that a knife has."""

_AS_DRAWN = 2
"""Rank of a limit of the stack that is missed as drawn."""


def outline_errors(knife: Knife) -> Iterator[str]:
    """Of the outline."""
    yield from _codes(check_outline(knife))


def bevel_errors(knife: Knife) -> Iterator[str]:
    """Of bevels, edge and plunge line."""
    for check in (check_plunge, check_edge, check_steel):
        yield from _codes(check(knife))


def hole_errors(knife: Knife) -> Iterator[str]:
    """Of the holes in the steel."""
    for check in (check_holes, check_net_section):
        yield from _codes(check(knife))


def stack_errors(knife: Knife) -> Iterator[str]:
    """Of the handle's layers and what holds them."""
    for stack in stacks(knife):
        yield from (code for code, rank in missed(stack.limits).items() if rank == _AS_DRAWN)
    for check in (check_stack_bores, check_stack_border, check_scales):
        yield from _codes(check(knife))


def new_errors(knife: Knife, was: Knife, kinds: Iterable[Errors]) -> tuple[str, ...]:
    """Codes of which a changed knife has more errors than it had."""
    more: set[str] = set()
    for kind in kinds:
        after = Counter(kind(knife))
        more |= set(after - Counter(kind(was))) if after else set()
    return tuple(sorted(more))


def _codes(findings: Iterator[Finding]) -> Iterator[str]:
    return (finding.code for finding in findings if finding.severity == "error")
