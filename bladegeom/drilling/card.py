"""The drill card: every hole of the knife in working order, and where each one is."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from bladegeom.drilling.cautions import blade_cautions, handle_cautions
from bladegeom.drilling.datum import Datum, datum
from bladegeom.drilling.fit import cleared, fitted, lined, parted, tang_measured, thicknessed
from bladegeom.drilling.match import matched
from bladegeom.drilling.row import FLANKS, CardRow
from bladegeom.drilling.steel import before_reamer, hard_steel, is_slot, soft_steel
from bladegeom.drilling.sunk import sunk
from bladegeom.drilling.tool import drill_named, drill_words, shelf_of
from bladegeom.drilling.transfer import transfers
from bladegeom.fasteners.alike import by_name
from bladegeom.fasteners.hardware import Stack
from bladegeom.fasteners.stack import stacks
from bladegeom.holes.cut_holes import CutHole, cut_holes
from bladegeom.knife.hole import Made, Purpose
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.quantities.shown import rule_length
from bladegeom.quantities.units import show_length

CAUTIONS = (
    "Clamp the work or pin it against a stop on the left of the table: a blank that catches is a propeller.",
    "No gloves, no sleeves, no long hair at the drill press; eyes covered; chips off with a brush.",
    "Slow and with oil in metal; backing board under everything; back out often.",
)
"""Source: common practice, no source. What the materials ask for comes on top."""


_STEADY = 0.25
"""A blank lies steady on two places this part of its length apart; own choice."""


@dataclass(frozen=True, kw_only=True)
class DrilledPlace:
    """A round opening's centre, or one end of a slot's centre line.

    Args:
        name: Of the opening; of a slot's ends with "a" and "b".
        along: From the square, mm.
        off: From the straightedge, mm.
        diameter: mm.
        drill: That makes or gauges it, in words.
        purpose: What it is for.
        made: How and by whom.
    """

    name: str
    along: float
    off: float
    diameter: float
    drill: str
    purpose: Purpose
    made: Made


@dataclass(frozen=True, eq=False)
class DrillCard:
    """What to drill on a knife, with what, how deep and when.

    Args:
        knife: The design.

    >>> card = drill_card(knife)
    >>> len(card.steps), card.places[0].name
    (22, 'F1')
    """

    knife: Knife

    @cached_property
    def stacks(self) -> tuple[Stack, ...]:
        """Of all fasteners."""
        return stacks(self.knife)

    @property
    def cautions(self) -> tuple[str, ...]:
        """To be read before the first hole."""
        return (*CAUTIONS, *dict.fromkeys((*blade_cautions(self.knife), *handle_cautions(self.knife))))

    @cached_property
    def datum(self) -> Datum:
        """From which places are told."""
        return datum(self.knife)

    @cached_property
    def places(self) -> tuple[DrilledPlace, ...]:
        """Every opening of the steel by name; a slot has two places."""
        at = {hole.name: hole for hole in cut_holes(self.knife)}
        return tuple(place for name in by_name(at) for place in self._places(name, at[name]))

    def _places(self, name: str, cut: CutHole) -> Iterator[DrilledPlace]:
        hole = cut.opening
        ends = dict.fromkeys((x, y) for x, y in hole.axis.tolist())
        for suffix, (x, y) in zip(("a", "b") if len(ends) > 1 else ("",), ends, strict=True):
            along, off = self.datum.measure(x, y)
            yield DrilledPlace(
                name=name + suffix,
                along=along,
                off=off,
                diameter=hole.diameter,
                drill=self._drill(cut),
                purpose=hole.purpose,
                made=cut.finish,
            )

    def _drill(self, cut: CutHole) -> str:
        hole, begun = cut.opening, ""
        if cut.way in ("under size", "pilot"):
            begun = f"{'pilot ' if cut.way == 'pilot' else ''}cut {show_length(cut.diameter)}, then "
        if cut.finish != "reamed" or is_slot(hole):
            return f"{begun}{drill_named(hole.diameter, shelf_of(self.knife))}"
        if cut.way == "under size":
            return f"{begun}reamer {show_length(hole.diameter)}"
        before = before_reamer(hole.diameter, self.knife.shop.drills)
        return f"{begun}{drill_words(before)}, then reamer {show_length(hole.diameter)}"

    @cached_property
    def steps(self) -> tuple[CardRow, ...]:
        """All rows in working order."""
        measured = tang_measured(self.stacks) if self.knife.scales else ()
        rows = (*soft_steel(self.knife), *hard_steel(self.knife), *measured, *self._scale_steps())
        return tuple(dataclasses.replace(row, number=i) for i, row in enumerate(rows, start=1))

    def _scale_steps(self) -> Iterator[CardRow]:
        scales, todo = self.knife.scales, transfers(self.knife, self.stacks)
        if scales is None or not todo:
            return
        holes = by_name(name for name, _ in todo)
        bored = tuple(sunk(self.knife, self.stacks))
        yield thicknessed(self.knife, scales, outside=any(row.face != "inside face" for row in bored))
        if scales.glued_liners:
            yield lined(scales)
        for flank in FLANKS:
            yield from matched(self.knife, todo, flank)
        yield parted(scales, holes)
        yield from bored
        if bored:
            yield cleared(by_name({name for row in bored for name in row.holes}))
        if self.stacks:
            yield from fitted(self.stacks)

    @property
    def datum_words(self) -> tuple[str, ...]:
        """How to find the corner, and what its numbers mean."""
        datum_corner = self.datum
        rear, front = (rule_length(v) for v in datum_corner.touches)
        lines: tuple[str, ...] = (
            f"Lay a straightedge against the {datum_corner.side}'s side of the outline: it touches {rear} and {front} "
            "from the "
            "square.",
            f"Stand a square on it against the rear end, which it touches {rule_length(datum_corner.touches_square)} "
            "from the "
            "straightedge.",
            "Along: from the square towards the tip. Off: square to the straightedge, into the "
            f"{self.knife.stock.metal_word}. Both faces read alike.",
        )
        x0, _, x1, _ = self.knife.outline.bounds
        if datum_corner.touches[1] - datum_corner.touches[0] < _STEADY * (x1 - x0):
            lines += ("The two places lie close together: see that both touch, the blank can rock.",)
        scales = self.knife.scales
        if scales is None:
            return lines
        return (*lines, f"Scales are drilled as slabs of {show_length(scales.slab_thickness)}, before contouring.")


@memo
def drill_card(knife: Knife) -> DrillCard:
    """Of a knife."""
    return DrillCard(knife)
