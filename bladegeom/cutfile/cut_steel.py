"""The lines along which the shop cuts the steel: the one place that the cut file, the pass sheet and the quote read."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from bladegeom.curves.build import arc
from bladegeom.curves.curve import Curve
from bladegeom.curves.measure import curve_length
from bladegeom.curves.offset import offset
from bladegeom.cutfile.cut_tabs import between_tabs
from bladegeom.cutfile.tab_places import tab_places
from bladegeom.holes.cut_holes import CutHole, cut_holes
from bladegeom.knife.hole import Hole
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo


@dataclass(frozen=True, kw_only=True, eq=False)
class SteelCut:
    """What is cut of the steel, in the design's frame.

    Args:
        loop: The outline with its allowance, closed.
        outline: What is cut of it: the loop itself, or its open pieces between the tabs.
        openings: Holes and slots that are cut, each as it is cut; none that is left to the drill.
    """

    loop: Curve
    outline: tuple[Curve, ...]
    openings: tuple[CutHole, ...]

    @property
    def tabs(self) -> int:
        """Gaps in the outline."""
        return 0 if self.outline[0] is self.loop else len(self.outline)

    @cached_property
    def length(self) -> float:
        """Of everything that is cut, mm."""
        return sum(curve_length(curve) for curve in (*self.outline, *map(opening_line, self.openings)))

    @property
    def pierces(self) -> int:
        """How often the machine starts a cut: once for each opening and for each piece of the outline."""
        return len(self.outline) + len(self.openings)


@memo
def steel_cut(knife: Knife) -> SteelCut:
    """What the shop cuts of the steel, with all that the maker chooses in ``Cutting``.

    Raises:
        CurveError: The outline runs into itself with its allowance.
        PlacingError: There is no room for the tabs.
        ParameterError: A place for a tab does not lie on the outline.
    """
    chosen, loop = knife.cutting, knife.outline.loop
    if chosen.allowance:
        loop = offset(loop, chosen.allowance)
    places = tab_places(knife)
    outline = between_tabs(loop, places, chosen.tabs.width) if chosen.tabs is not None and places else (loop,)
    openings = tuple(hole for hole in cut_holes(knife) if hole.way != "left")
    return SteelCut(loop=loop, outline=outline, openings=openings)


def opening_line(cut: CutHole) -> Curve:
    """The closed line of an opening as it is cut: a circle of the diameter that is cut, or the slot's own outline."""
    if isinstance(cut.opening, Hole):
        return arc((cut.opening.x, cut.opening.y), cut.diameter / 2, 0.0, 360.0)
    return cut.opening.outline
