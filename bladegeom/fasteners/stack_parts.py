"""What the stacks of all kinds of fasteners are told in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bladegeom.knife.hardware.bore import Bore
from bladegeom.quantities.interval import Interval
from bladegeom.quantities.tables import Material
from bladegeom.solids.revolve import Ring


@dataclass(frozen=True, kw_only=True)
class Cut:
    """A bore and how deep it goes.

    Args:
        bore: What is drilled.
        face: From which face of the scale its depth counts; None goes through.
        depth: That the depth stop is set to, mm; None goes through.
    """

    bore: Bore
    face: Literal["inside", "outside"] | None = None
    depth: Interval | None = None


@dataclass(frozen=True, kw_only=True)
class Solid:
    """A part of the hardware, one side of the tang.

    Args:
        name: "pin", "standoff", "screw".
        material: What it is made of.
        rings: That make it up.
    """

    name: str
    material: Material
    rings: tuple[Ring, ...]
