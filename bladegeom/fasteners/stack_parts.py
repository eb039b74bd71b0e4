"""What a fastener is told in, whatever its kind: cuts, solids, walls, work at the bench, its section."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from shapely.geometry.base import BaseGeometry

from bladegeom.drawing.dimension import Dimension
from bladegeom.knife.hardware.bore import Bore, Layer, Play
from bladegeom.quantities.drills import Drill
from bladegeom.quantities.interval import Interval
from bladegeom.quantities.materials import Material
from bladegeom.solids.revolve import Ring

SlabFace = Literal["inside", "outside"]


@dataclass(frozen=True, kw_only=True)
class Pocket:
    """Sunk from the inside of a scale, flat-bottomed.

    Args:
        depth: That the depth stop is set to, from the face that lies open, mm.
        lets_in: Diameter of what goes in, mm.
        floor: Scale between it and what is sunk from the outside, mm.
    """

    depth: Interval
    lets_in: float
    floor: Interval
    face: Literal["inside"] = "inside"


@dataclass(frozen=True, kw_only=True)
class Counterbore:
    """Sunk from the slab's outside before contouring, flat-bottomed.

    Args:
        depth: That the depth stop is set to, mm.
        lets_in: Diameter of what goes in, mm.
    """

    depth: Interval
    lets_in: float
    face: Literal["outside"] = "outside"


@dataclass(frozen=True, kw_only=True)
class Countersink:
    """A cone sunk from the slab's outside before contouring, with a counterbore over it where the head lies deep.

    Args:
        depth: From the slab to where the cone meets the hole right through, mm.
        straight: Of it the counterbore, mm; 0 or less where the cone begins at the slab's face.
        lets_in: Diameter of the widest head, mm.
        measured: Diameter of the widest head that can be measured: the cutter is no narrower, mm.
    """

    depth: Interval
    straight: Interval
    lets_in: float
    measured: float
    face: Literal["outside"] = "outside"


Sunk = Pocket | Counterbore | Countersink


@dataclass(frozen=True, kw_only=True)
class Cut:
    """A bore and how deep it goes.

    Args:
        bore: What is drilled.
        sunk: How deep and for what; None goes right through.
    """

    bore: Bore
    sunk: Sunk | None = None

    @property
    def face(self) -> SlabFace | None:
        """From which face of the scale its depth counts; None goes through."""
        return self.sunk.face if self.sunk else None

    @property
    def depth(self) -> Interval | None:
        """That the depth stop is set to, mm; None goes through."""
        return self.sunk.depth if self.sunk else None


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


@dataclass(frozen=True, kw_only=True)
class Wall:
    """Metal round a hole in what is bought.

    Args:
        field: Of the outer diameter, as a maker writes it.
        outer: Diameter outside, mm.
        words: Where it is: "of the tube".
        inner: Diameter inside, mm.
        other: The other way out: "its bore narrower".
    """

    field: str
    outer: float
    words: str
    inner: float
    other: str


@dataclass(frozen=True, kw_only=True)
class ChosenHole:
    """A hole that the maker chose himself, beside what it should be.

    Args:
        layer: Where; a maker writes it as ``tang_hole`` or ``scale_hole``.
        drill: That was chosen.
        goes_through: Diameter of what goes through, mm.
        play: By how much the hole should be wider, mm.
    """

    layer: Layer
    drill: Drill
    goes_through: float
    play: Play


SAW_CUT = 1.5
"""Lost of a rod at each piece, mm; own choice: a hacksaw's kerf, and what squares the end."""


@dataclass(frozen=True, kw_only=True)
class RodPiece:
    """A piece of rod or tube, bought by the length.

    Args:
        metal: What it is made of.
        diameter: Outside, mm.
        inside: Of a tube, mm; None is a rod.
        length: To which it is sawn, mm.
    """

    metal: Material
    diameter: float
    inside: float | None
    length: float


When = Literal["before the trial", "at gluing", "at contouring", "on the finished scales"]
"""When hardware is worked on: nothing is glued before the trial."""


@dataclass(frozen=True, kw_only=True)
class Fitting:
    """Work on hardware at the bench, one row of the drill card.

    Args:
        holes: Short names of the fasteners that it is for, in any order.
        part: Worked on.
        operation: What is done.
        tool: With which.
        note: What to mind.
        when: In which state of the handle.
        measures: Whether it ends with a number that is to be written down.
    """

    holes: Iterable[str]
    part: str
    operation: str
    tool: str
    note: str
    when: When = "before the trial"
    measures: bool = False


@dataclass(frozen=True, kw_only=True)
class FastenerSection:
    """Hardware cut along its axis, mm: x out of the right face, y up across the handle, 0 on the axis.

    Args:
        hatched: Metal that is cut.
        plain: Metal that is drawn whole.
        dashed: Lines of what contouring takes off, and of what is hidden.
        above: Dimensions over the section, the nearest to it first.
        below: Those below it.
    """

    hatched: tuple[BaseGeometry, ...]
    plain: tuple[BaseGeometry, ...]
    dashed: tuple[BaseGeometry, ...]
    above: tuple[Dimension, ...]
    below: tuple[Dimension, ...]
