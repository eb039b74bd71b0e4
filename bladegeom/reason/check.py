"""All checks of a knife. A new check is a function in a file of its own, named here."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from bladegeom.body.knife import Knife
from bladegeom.reason.check_declared import check_declared
from bladegeom.reason.check_edge import check_edge
from bladegeom.reason.check_holes import check_holes
from bladegeom.reason.check_outline import check_outline
from bladegeom.reason.check_plunge import check_plunge
from bladegeom.reason.check_steel import check_steel
from bladegeom.reason.check_taper import check_taper
from bladegeom.reason.check_wheel import check_wheel
from bladegeom.reason.check_zones import check_zones
from bladegeom.reason.finding import Finding

CHECKS: Final[tuple[Callable[[Knife], Iterator[Finding]], ...]] = (
    check_declared,
    check_outline,
    check_plunge,
    check_edge,
    check_steel,
    check_taper,
    check_holes,
    check_wheel,
    check_zones,
)


def check(knife: Knife) -> tuple[Finding, ...]:
    """Everything there is to say about a knife, errors first; empty if there is nothing."""
    found = (finding for one in CHECKS for finding in one(knife))
    return tuple(sorted(found, key=lambda finding: finding.rank))
