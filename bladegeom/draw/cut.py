"""The cut drawing: what the cutting shop cuts, and nothing else."""

from __future__ import annotations

from bladegeom.body.hole import Hole, Opening
from bladegeom.body.knife import Knife
from bladegeom.draw.drawing import CUT_PEN, Circle, Drawing, Item, Path


def cut_drawing(knife: Knife) -> Drawing:
    """Outline and the holes made with it, at nominal size, moved so that nothing lies below or left of the origin.

    Holes that the maker drills are left out: a cutter would cut them.
    """
    items: list[Item] = [Path(layer="CUT", curve=knife.outline.loop, closed=True, pen=CUT_PEN)]
    items += [_opening(hole) for hole in knife.openings if hole.made == "cut"]
    x0, y0, _, _ = knife.outline.bounds
    return Drawing(name=knife.name, items=tuple(items)).moved(-x0, -y0)


def left_for_the_drill(knife: Knife) -> tuple[str, ...]:
    """Ids of the holes that the cut drawing leaves out."""
    return tuple(name for hole, name in zip(knife.openings, knife.hole_ids, strict=True) if hole.made != "cut")


def _opening(hole: Opening) -> Item:
    if isinstance(hole, Hole):
        return Circle(layer="CUT", x=hole.x, y=hole.y, radius=hole.diameter / 2, pen=CUT_PEN)
    return Path(layer="CUT", curve=hole.outline, closed=True, pen=CUT_PEN)
