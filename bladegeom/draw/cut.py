"""The cut drawings: what the cutting shop cuts of each part, and nothing else."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np

from bladegeom.body.hole import Hole
from bladegeom.body.knife import Knife
from bladegeom.curves.curve import Curve
from bladegeom.curves.extent import extent
from bladegeom.draw.cut_liner import liner_holes, sawn_out
from bladegeom.draw.cut_marks import cut_marks
from bladegeom.draw.cut_tabs import between_tabs
from bladegeom.draw.drawing import CUT_PEN, Circle, Drawing, Item, Path
from bladegeom.quantities.tolerances import GROWN_FIT
from bladegeom.reason.cut_holes import cut_holes
from bladegeom.reason.drill_row import by_name
from bladegeom.reason.tab_places import tab_places
from bladegeom.shape.grown import grown

PartName = Literal["steel", "liner", "scale"]


@dataclass(frozen=True, kw_only=True)
class CutPart:
    """One part to cut.

    Args:
        part: Which.
        drawing: Lines on layer CUT, and on layer MARK where marks are asked for; nothing lies below or left of the
            origin.
        off: How far its lines may be from the design already, mm.
        tabs: How many gaps its outline has.
        left: Names of the holes that are left out.
    """

    part: PartName
    drawing: Drawing
    off: float = 0.0
    tabs: int = 0
    left: tuple[str, ...] = ()

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
        drawing=cut_drawing(knife),
        off=GROWN_FIT if chosen.allowance else 0.0,
        tabs=len(tab_places(knife)),
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
        out.append(CutPart(part="liner", drawing=_placed(knife, border, [rim, *holes]), off=off, left=left))
    if chosen.scales:
        out.append(CutPart(part="scale", drawing=_placed(knife, border, [rim]), off=off))
    return tuple(out)


def cut_drawing(knife: Knife) -> Drawing:
    """The steel: outline, what is cut of the holes, and marks if they are asked for.

    Holes that are left to the drill are left out: a cutter would cut them.
    """
    chosen, loop = knife.cutting, knife.outline.loop
    if chosen.allowance:
        loop = grown(loop, chosen.allowance)
    items = list(_outline(knife, loop))
    for hole in cut_holes(knife):
        opening = hole.opening
        if hole.way != "left" and isinstance(opening, Hole):
            items.append(Circle(layer="CUT", x=opening.x, y=opening.y, radius=hole.diameter / 2, pen=CUT_PEN))
        elif hole.way != "left":
            items.append(Path(layer="CUT", curve=opening.outline, closed=True, pen=CUT_PEN))
    if chosen.marks:
        items += cut_marks(knife)
    return _placed(knife, loop, items)


def left_for_the_drill(knife: Knife) -> tuple[str, ...]:
    """Names of the holes that the steel's cut drawing leaves out."""
    return by_name(hole.name for hole in cut_holes(knife) if hole.way == "left")


def _outline(knife: Knife, loop: Curve) -> Iterator[Item]:
    places = tab_places(knife)
    if knife.cutting.tabs is None or not places:
        yield Path(layer="CUT", curve=loop, closed=True, pen=CUT_PEN)
        return
    for curve in between_tabs(loop, places, knife.cutting.tabs.width):
        yield Path(layer="CUT", curve=curve, pen=CUT_PEN)


def _box(item: Item) -> tuple[float, float, float, float]:
    """Least x, least y, greatest x, greatest y, mm."""
    return extent(item.curve.pieces) if isinstance(item, Path) else Drawing(name="", items=(item,)).bounds


def _placed(knife: Knife, border: Curve, items: list[Item]) -> Drawing:
    """Moved so that nothing lies below or left of the origin."""
    x0, y0, _, _ = extent(border.pieces)
    return Drawing(name=knife.name, items=tuple(items)).moved(-x0, -y0)
