"""Zones on the faces of a blade: for a carved or textured surface, and for the maker's mark."""

from __future__ import annotations

from typing import Annotated, Literal

from bladegeom.knife.grind import Flank
from bladegeom.outline.artwork import Artwork
from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Coordinate, Distance, Length, Says, Share
from bladegeom.quantities.mark_ways import MarkWayName


@declared("texture zone", example="TextureZone(start=20.0, end=60.0, depth=0.4)")
class TextureZone:
    """A carved or textured surface between grind line and spine, clear of scales, borders and marks.

    Args:
        start: Rear end along x, mm.
        end: Front end along x, mm.
        depth: Of the deepest groove, mm.
        least_thickness: Of the steel under the grooves, both sides counted, mm.
        margin: Kept free along grind line, spine, plunge line and marks, mm.
        front_margin: Kept free ahead of the handle front, mm.
        share: Of the area that the grooves take, 0 to 1, at their mean depth of ``depth`` times ``mean_depth``.
        mean_depth: Mean depth of a groove as a part of its deepest, 0 to 1; two thirds for a round bottom.
        side: Which faces carry it.

    >>> TextureZone(start=26.0, end=80.0, depth=0.3, least_thickness=3.0).depth
    0.3
    """

    start: Coordinate
    end: Coordinate
    depth: Length
    least_thickness: Length = 2.0
    margin: Distance = 2.0
    front_margin: Distance = 5.0
    share: Share = 0.6
    mean_depth: Share = 2 / 3
    side: Flank | Literal["both"] = "both"

    def __post_init__(self) -> None:
        if not self.start < self.end:
            raise ParameterError("texture zone: end", f"{self.end:g} mm", f"lie ahead of its start, {self.start:g} mm")

    @property
    def flanks(self) -> tuple[Flank, ...]:
        """The faces that carry it."""
        return ("right", "left") if self.side == "both" else (self.side,)


@declared("mark zone", example="MarkZone(x=20.0, y=-4.0, width=12.0, height=4.0, text='AB')")
class MarkZone:
    """A field for the maker's mark or for a text, on flat steel.

    Args:
        x: Middle, mm.
        y: Middle, mm.
        width: Along x, > 0 mm.
        height: Along y, > 0 mm.
        text: What is to stand there, letter by letter; of a drawing, what it shows.
        side: Which face carries it.
        bold: In the heavier face.
        artwork: A drawing that stands there in place of letters.
        made: How it comes onto the steel; then its lines and gaps are checked, and its files are exported.
        depth: That it is made to, mm; 0 where nobody has said.
        bridge: Width of the bridges that hold the middles of letters in a stencil, mm; 0 for none.

    >>> MarkZone(x=19.5, y=-6.0, width=9.0, height=4.0, text="DECK 1").text
    'DECK 1'
    """

    x: Coordinate
    y: Coordinate
    width: Length
    height: Length
    text: Annotated[str, Says("AB")]
    side: Flank = "right"
    bold: bool = False
    artwork: Artwork | None = None
    made: MarkWayName | None = None
    depth: Distance = 0.0
    bridge: Distance = 0.0

    def __post_init__(self) -> None:
        if self.bold and self.artwork is not None:
            raise ParameterError("mark zone: bold", "True", "be False where a drawing stands in place of letters")
        if self.depth and self.made is None:
            raise ParameterError(
                "mark zone: depth", f"{self.depth:g} mm", 'be 0 until made says how, such as made="laser"'
            )
        if self.bridge and self.made != "stencil":
            raise ParameterError("mark zone: bridge", f"{self.bridge:g} mm", 'be 0, except with made="stencil"')

    @property
    def flanks(self) -> tuple[Flank, ...]:
        """The face that carries it."""
        return (self.side,)


Zone = TextureZone | MarkZone
