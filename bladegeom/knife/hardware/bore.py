"""What is drilled in each layer for a piece of hardware, and which drill does it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Any, Final, Literal

from bladegeom.quantities.drills import Drill, drill, drills
from bladegeom.quantities.errors import FieldError, ParameterError
from bladegeom.quantities.field_rules import Becomes, Like
from bladegeom.quantities.threads import Thread, thread
from bladegeom.quantities.units import length, show_length, show_mm, show_range

Layer = Literal["tang", "liner", "scale"]
Shape = Literal["through hole", "pocket", "counterbore", "countersink"]


@dataclass(frozen=True, kw_only=True)
class Bore:
    """One thing to drill in one layer; each side of the tang has the same.

    Args:
        layer: Where.
        shape: A pocket is sunk from the inside of a scale, a counterbore and a countersink from its outside.
        diameter: Of the hole; of a countersink that of the counterbore over it, mm.
        drill: Whose size it has; a pocket or a counterbore is made with such a drill ground flat, or an end mill.
        angle_deg: Included angle of a countersink, else None.
        cone_diameter: Of a countersink where its cone is widest, else None, mm.
    """

    layer: Layer
    shape: Shape
    diameter: float
    drill: Drill
    angle_deg: float | None = None
    cone_diameter: float | None = None


Play = tuple[float, float]
"""Least and most by which a hole is wider than what goes through it, mm."""

GLUED: Play = (0.05, 0.30)
"""Room for glue round a rod or sleeve in the tang.

Source: common practice, no source: 0.10 to 0.25 mm; widened so that each common inch rod finds a drill.
"""

SLIP: Play = (0.0, 0.10)
"""Slip fit of a rod in a scale: a drill of its own size cuts a little over. Source: common practice, no source."""

PEENED: Play = (0.25, 0.50)
"""Room in the tang for a rod that is peened, in diameters: its swelling must not lift the scale.

Source: makers' forums (25 to 50 % larger); common practice.
"""

CLEARANCE: Play = (-0.01, 0.18)
"""By how much a screw's hole may miss the standard's diameter, so that one drill serves for millimetres and inches.

Source: what a shop can measure downwards; upwards H13 over 3 to 6 mm, the medium series of ISO 273, from memory of
ISO 286, unconfirmed.
"""


HEAD: Play = (0.0, 0.30)
"""Room round a head in its counterbore. Source: own choice: a glue line is no wider."""


def drill_for(diameter: float, play: Play, index: Sequence[Drill]) -> Drill:
    """The drill nearest to a diameter that leaves room round it: of the index if it has one, else of all that are made.

    Where no drill of the index will do, the check says which to get.

    Raises:
        ParameterError: No drill is made for it.
    """
    low, high = (diameter + room - 1e-9 for room in play)
    for shelf in (index, drills()):
        found = [bit for bit in shelf if low <= bit.diameter <= high + 2e-9]
        if found:
            return min(found, key=lambda bit: abs(bit.diameter - diameter))
    raise ParameterError(
        "hole",
        f"{show_length(diameter)} and {show_mm(play[0])} to {show_mm(play[1])} mm more",
        f"be a size that drills are made in, {show_length(drills()[-1].diameter)} at most; take thinner hardware",
    )


def hole_for(size: HoleSize, diameter: float, play: Play, index: Sequence[Drill]) -> Drill:
    """The drill that a maker asks for, or else the one for a diameter with room round it."""
    return drill_for(diameter, play, index) if size is None else chosen_drill(size)


def require_room(part: Any, name: str, **least: float) -> None:
    """Refuse declared holes of a part that are narrower than what goes through, mm.

    Raises:
        ParameterError: With the hole.
    """
    for field, diameter in least.items():
        hole = getattr(part, field)
        if hole is not None and hole.diameter < diameter:
            raise ParameterError(
                f"{name}: {field}",
                show_length(hole.diameter),
                f"be at least as wide as what goes through it, {show_length(diameter)}",
            )


def chosen_drill(size: str | float | Drill) -> Drill:
    """A drill by name, by diameter, or a shop's own; a diameter that no drill has is one of its own.

    Raises:
        UnknownNameError: A name that no drill has.
    """
    if isinstance(size, Drill):
        return size
    if isinstance(size, str):
        return drill(size)
    return next(
        (bit for bit in drills() if abs(bit.diameter - size) < 1e-6),
        Drill(name=f"{length(size):g} mm", series="metric", diameter=size, source="asked for", confidence="high"),
    )


CHAMFER: Final = (0.3, 0.5)
"""Width to which the rims of holes are broken, mm. Source: common practice, no source."""


def broken_rims() -> str:
    """How wide rims are broken, in words."""
    return f"break the rims {show_range(*CHAMFER)} wide"


_LIKE: Final = Like('"#11" or 4.9')


def _drill(size: object) -> Drill:
    if isinstance(size, bool) or not isinstance(size, str | float | int | Drill):
        raise FieldError(like=_LIKE.example)
    return chosen_drill(size)


HoleSize = Annotated[str | float | Drill, Becomes(_drill), _LIKE] | None
"""A drill by name, a diameter in mm, a drill of the shop's own, or None: then one is chosen."""


def _thread(name: object) -> object:
    return thread(name) if isinstance(name, str) else name


ThreadName = Annotated[str | Thread, Becomes(_thread), Like('"#6-32" or "M4"')]
"""A thread by name, or one of the shop's own."""
