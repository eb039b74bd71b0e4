"""All checks of a knife. A new check is a function in a file of its own, named here."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from bladegeom.body.knife import Knife
from bladegeom.reason.check_balance import check_balance
from bladegeom.reason.check_cutting import check_cutting
from bladegeom.reason.check_declared import check_declared
from bladegeom.reason.check_edge import check_edge
from bladegeom.reason.check_fairness import check_fairness
from bladegeom.reason.check_hand import check_hand
from bladegeom.reason.check_holes import check_holes
from bladegeom.reason.check_knuckles import check_knuckles
from bladegeom.reason.check_letters import check_letters
from bladegeom.reason.check_lumps import check_lumps
from bladegeom.reason.check_net_section import check_net_section
from bladegeom.reason.check_outline import check_outline
from bladegeom.reason.check_plunge import check_plunge
from bladegeom.reason.check_plunge_step import check_plunge_step
from bladegeom.reason.check_scale_sizes import check_scale_sizes
from bladegeom.reason.check_scales import check_scales
from bladegeom.reason.check_slender import check_slender
from bladegeom.reason.check_stack import check_stack
from bladegeom.reason.check_stack_border import check_stack_border
from bladegeom.reason.check_stack_bores import check_stack_bores
from bladegeom.reason.check_stack_walls import check_stack_walls
from bladegeom.reason.check_steel import check_steel
from bladegeom.reason.check_taper import check_taper
from bladegeom.reason.check_wheel import check_wheel
from bladegeom.reason.check_zones import check_zones
from bladegeom.reason.finding import Finding

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
