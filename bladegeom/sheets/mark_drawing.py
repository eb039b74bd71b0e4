"""A mark alone at true size, as it reads on its face or mirrored, for the film or the beam that makes it."""

from __future__ import annotations

from bladegeom.curves.build import line
from bladegeom.drawing.drawing import Drawing, Layer, Path, Pen
from bladegeom.knife.zone import MarkZone
from bladegeom.marking.mark_region import shape_of
from bladegeom.outline.filled import rings_of_region

_PEN = Pen(width=0.05)


def mark_drawing(zone: MarkZone, *, mirrored: bool = False) -> Drawing:
    """Closed lines round the middle of the mark's field; a film that is cut through has them on layer CUT.

    Args:
        zone: The mark.
        mirrored: As seen through the film from behind.
    """
    layer: Layer = "CUT" if zone.made == "stencil" else "MARK"
    rings = rings_of_region(shape_of(zone))
    items = tuple(Path(layer=layer, curve=line(*ring, ring[0]), closed=True, pen=_PEN) for ring in rings)
    drawing = Drawing(name=f"mark {zone.text}", items=items)
    return drawing.mirrored() if mirrored else drawing
