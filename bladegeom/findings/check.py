"""All checks of a knife. A new check is a function in a file of its own, named here."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from bladegeom.balance.check_balance import check_balance
from bladegeom.checks.cutting import check_cutting
from bladegeom.checks.declared import check_declared
from bladegeom.checks.edge import check_edge
from bladegeom.checks.fairness import check_fairness
from bladegeom.checks.hand import check_hand
from bladegeom.checks.holes import check_holes
from bladegeom.checks.knuckles import check_knuckles
from bladegeom.checks.letters import check_letters
from bladegeom.checks.lumps import check_lumps
from bladegeom.checks.net_section import check_net_section
from bladegeom.checks.outline import check_outline
from bladegeom.checks.plunge import check_plunge
from bladegeom.checks.plunge_step import check_plunge_step
from bladegeom.checks.scale_sizes import check_scale_sizes
from bladegeom.checks.scales import check_scales
from bladegeom.checks.slender import check_slender
from bladegeom.checks.stack import check_stack
from bladegeom.checks.stack_border import check_stack_border
from bladegeom.checks.stack_bores import check_stack_bores
from bladegeom.checks.stack_walls import check_stack_walls
from bladegeom.checks.steel import check_steel
from bladegeom.checks.taper import check_taper
from bladegeom.checks.wheel import check_wheel
from bladegeom.checks.zones import check_zones
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife

CHECKS: Final[tuple[Callable[[Knife], Iterator[Finding]], ...]] = (
    check_declared,
    check_letters,
    check_outline,
    check_fairness,
    check_lumps,
    check_slender,
    check_knuckles,
    check_plunge,
    check_plunge_step,
    check_edge,
    check_steel,
    check_taper,
    check_holes,
    check_cutting,
    check_net_section,
    check_hand,
    check_balance,
    check_stack,
    check_stack_bores,
    check_stack_border,
    check_stack_walls,
    check_scales,
    check_scale_sizes,
    check_wheel,
    check_zones,
)


def check(knife: Knife) -> tuple[Finding, ...]:
    """Everything there is to say about a knife, errors first; empty if there is nothing."""
    found = (finding for one in CHECKS for finding in one(knife))
    return tuple(sorted(found, key=lambda finding: finding.rank))
