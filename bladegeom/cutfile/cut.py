"""The cut drawings: what the cutting shop cuts of each part, and nothing else."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from bladegeom.curves.bounding_box import bounding_box
from bladegeom.curves.curve import Curve
from bladegeom.cutfile.cut_liner import liner_holes, sawn_out
from bladegeom.cutfile.cut_marks import cut_marks
from bladegeom.cutfile.cut_steel import steel_cut
from bladegeom.drawing.drawing import CUT_PEN, Circle, Drawing, Item, Path
from bladegeom.fasteners.alike import by_name
from bladegeom.holes.cut_holes import cut_holes
from bladegeom.knife.hole import Hole
from bladegeom.knife.knife import Knife
from bladegeom.quantities.tolerances import GROWN_FIT

PartName = Literal["steel", "liner", "scale"]


@dataclass(frozen=True, kw_only=True)
class CutPart:
    """One part to cut.

    Args:
        part: Which.
        sheets: Of which it is cut: material and thickness, mm; of liners there may be several.
        each: How many of each sheet for one knife.
        drawing: Lines on layer CUT, and on layer MARK where marks are asked for; nothing lies below or left of the
            origin.
        off: How far its lines may be from the design already, mm.
        tabs: How many gaps its outline has.
        left: Names of the holes that are left out.

    >>> steel = cut_parts(knife)[0]
    >>> steel.part, steel.sheets, [round(value, 1) for value in steel.size]
    ('steel', (('1.4116', 3.5),), [228.0, 31.1])
    """

    part: PartName
    sheets: tuple[tuple[str, float], ...]
    each: int
    drawing: Drawing
    off: float = 0.0
    tabs: int = 0
    left: tuple[str, ...] = ()

    @property
    def thickness(self) -> float:
        """Of its thickest sheet, mm: that one asks for the widest holes and webs."""
        return max(thickness for _, thickness in self.sheets)

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of what is cut, mm."""
        boxes = np.array([_box(item) for item in self.drawing.items if item.layer == "CUT"])
        width, height = boxes[:, 2:].max(axis=0) - boxes[:, :2].min(axis=0)
        return float(width), float(height)


def cut_parts(knife: Knife) -> tuple[CutPart, ...]:
    """The steel, then the liner if there are any, then the scale blank if it is asked for.

    Raises:
        CurveError: The steel's outline runs into itself with its allowance, or that of the liner with its overhang.
        PlacingError: There is no room for the tabs.
        ParameterError: A place for a tab does not lie on the outline.
    """
    chosen = knife.cutting
    steel = CutPart(
        part="steel",
        sheets=((knife.stock.material.name, knife.stock.thickness),),
        each=1,
        drawing=cut_drawing(knife),
        off=GROWN_FIT if chosen.allowance else 0.0,
        tabs=steel_cut(knife).tabs,
        left=left_for_the_drill(knife),
    )
    scales = knife.scales
    if scales is None or not (scales.liners or chosen.scales):
        return (steel,)
    border, off = sawn_out(knife, scales), GROWN_FIT if scales.overhang else 0.0
    rim = Path(layer="CUT", curve=border, closed=True, pen=CUT_PEN)
    out = [steel]
    if scales.liners:
        holes, left = liner_holes(knife, scales)
        sheets = tuple((liner.material.name, liner.thickness) for liner in scales.liners)
        drawing = _placed(knife, border, [rim, *holes])
        out.append(CutPart(part="liner", sheets=sheets, each=2, drawing=drawing, off=off, left=left))
    if chosen.scales:
        slab = ((scales.material.name, scales.slab_thickness),)
        out.append(CutPart(part="scale", sheets=slab, each=2, drawing=_placed(knife, border, [rim]), off=off))
    return tuple(out)


def cut_drawing(knife: Knife) -> Drawing:
    """The steel: outline, what is cut of the holes, and marks if they are asked for.

    Holes that are left to the drill are left out: a cutter would cut them.
    """
    cut = steel_cut(knife)
    items: list[Item] = [Path(layer="CUT", curve=curve, closed=curve is cut.loop, pen=CUT_PEN) for curve in cut.outline]
    for hole in cut.openings:
        opening = hole.opening
        if isinstance(opening, Hole):
            items.append(Circle(layer="CUT", x=opening.x, y=opening.y, radius=hole.diameter / 2, pen=CUT_PEN))
        else:
            items.append(Path(layer="CUT", curve=opening.outline, closed=True, pen=CUT_PEN))
    if knife.cutting.marks:
        items += cut_marks(knife)
    return _placed(knife, cut.loop, items)


def left_for_the_drill(knife: Knife) -> tuple[str, ...]:
    """Names of the holes that the steel's cut drawing leaves out."""
    return by_name(hole.name for hole in cut_holes(knife) if hole.way == "left")


def _box(item: Item) -> tuple[float, float, float, float]:
    """Least x, least y, greatest x, greatest y, mm."""
    return bounding_box(item.curve.pieces) if isinstance(item, Path) else Drawing(name="", items=(item,)).bounds


def _placed(knife: Knife, border: Curve, items: list[Item]) -> Drawing:
    """Moved so that nothing lies below or left of the origin."""
    x0, y0, _, _ = bounding_box(border.pieces)
    return Drawing(name=knife.name, items=tuple(items)).moved(-x0, -y0)
