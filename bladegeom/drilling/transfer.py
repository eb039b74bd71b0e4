"""What is carried over from the hard tang to its scales: which holes, and what becomes of each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bladegeom.drilling.row import point_depth
from bladegeom.drilling.steel import is_slot
from bladegeom.drilling.tool import Shelf, drill_of, drill_under, shelf_of
from bladegeom.fasteners.alike import to_compare
from bladegeom.fasteners.hardware import Stack
from bladegeom.fasteners.stack_parts import Cut, Pocket
from bladegeom.handle.parts import bare_holes
from bladegeom.holes.cut_holes import cut_holes
from bladegeom.knife.hole import Made
from bladegeom.knife.knife import Knife

SAME = 0.005
"""Drills that differ by less are one size, mm: half the last digit shown."""


@dataclass(frozen=True, kw_only=True)
class Transfer:
    """What the tang's hole is to become in the layers beside it.

    Args:
        tang: Diameter of the tang's hole, mm.
        lead: Diameter of the drill that the tang's hole leads: its own, or the next one below where none is made, mm.
        liner: Diameter in the liners; None without liners.
        scale: Diameter of the hole right through the scale, mm.
        pocket: Depth of the pocket that follows; 0 where none does, mm.
        sheets: Thickness of the liners of one side, mm.
        glued: Whether these are glued to the scale, and drilled with it.
        slot: Whether the opening is longer than wide.
    """

    tang: float
    lead: float
    liner: float | None
    scale: float
    pocket: float = 0.0
    sheets: float = 0.0
    glued: bool = False
    slot: bool = False

    @property
    def leads(self) -> bool:
        """Whether a drill of the tang's own size is made."""
        return abs(self.lead - self.tang) < SAME

    @property
    def spot_goes(self) -> bool:
        """Whether the pocket takes out the mark that a drill leaves in the scale once it has opened the liners."""
        return self.leads and not self.glued and self.pocket >= point_depth(self.tang)

    @property
    def pocket_opens(self) -> bool:
        """Whether the pocket, sunk through glued liners, opens them."""
        return self.glued and self.pocket > 0

    @property
    def reads(self) -> tuple[float, float, float, bool, bool, bool]:
        """What reads alike is carried over in one row."""
        liner = -1.0 if self.liner is None else to_compare(self.liner)
        return to_compare(self.tang), liner, to_compare(self.scale), self.spot_goes, self.pocket_opens, self.slot


def transfers(knife: Knife, at: Sequence[Stack]) -> list[tuple[str, Transfer]]:
    """All that goes through the scales, with the openings' short names: fasteners, then bare holes."""
    lined, shelf = bool(knife.scales and knife.scales.liners), shelf_of(knife)
    in_steel = cut_holes(knife)
    made = {hole.name: hole.finish for hole in in_steel}
    out = [(stack.layers.name, _of_stack(stack, made[stack.layers.name], shelf, lined=lined)) for stack in at]
    bare = bare_holes(knife)
    for hole in in_steel:
        opening = hole.opening
        if any(opening is bare_hole for bare_hole in bare):
            d = opening.diameter
            lead, liner = _lead(d, hole.finish, shelf), d if lined else None
            out.append((hole.name, Transfer(tang=d, lead=lead, liner=liner, scale=d, slot=is_slot(opening))))
    return out


def _of_stack(stack: Stack, made: Made, shelf: Shelf, *, lined: bool) -> Transfer:
    tang, liner, scale = (_through(stack.cuts, layer).bore.diameter for layer in ("tang", "liner", "scale"))
    pockets = [cut.sunk.depth.nominal for cut in stack.cuts if isinstance(cut.sunk, Pocket)]
    glued = stack.layers.glued_liner.nominal
    return Transfer(
        tang=tang,
        lead=_lead(tang, made, shelf),
        liner=liner if lined else None,
        scale=scale,
        pocket=pockets[0] - glued if pockets else 0.0,
        sheets=stack.layers.liner.nominal,
        glued=glued > 0,
    )


def _lead(diameter: float, made: Made, shelf: Shelf) -> float:
    """A drill that goes through the tang's hole, mm; who drilled that himself has one."""
    if made == "drilled" or drill_of(diameter, shelf):
        return diameter
    return drill_under(diameter, 0.0, shelf).diameter


def _through(cuts: Sequence[Cut], layer: str) -> Cut:
    return next(cut for cut in cuts if cut.bore.layer == layer and cut.bore.shape == "through hole")
