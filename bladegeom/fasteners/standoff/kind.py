"""A tapped sleeve in the tang, with a countersunk screw from each side: scales that come off again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from bladegeom.fasteners.hardware import New
from bladegeom.fasteners.layer_stack import LayerStack
from bladegeom.fasteners.stack_limits import Limit
from bladegeom.fasteners.stack_parts import FastenerSection, Fitting
from bladegeom.fasteners.standoff.declared import DeclaredStandoff
from bladegeom.fasteners.standoff.limits import standoff_limits
from bladegeom.fasteners.standoff.numbers import StandoffNumbers
from bladegeom.fasteners.standoff.papers import screws_differ, standoff_pieces, standoff_work, standoffs_to_buy
from bladegeom.fasteners.standoff.section import standoff_section
from bladegeom.fasteners.standoff.ways_out import another_standoff, half_too_short, other_sizes, standoff_words
from bladegeom.knife.finding import Finding


@dataclass(frozen=True, kw_only=True)
class StandoffScrews(DeclaredStandoff):
    """A round sleeve, tapped right through, that stands in tang and pockets; a countersunk screw from each side.

    Args:
        thread: Of the screws, by name.
        diameter: Of the sleeve, more than the thread's, mm.
        length: Of the sleeve, mm.
        sleeve: A name from the table of materials, or a Material of the shop's own.
        screws: The same for the screws.
        head: Standard of the head, such as "ISO 10642", or a CountersunkHead of one's own; None takes the usual one.
        fit: Of the screw in the scale's hole: "close", "normal" or "loose".
        recess: How far the heads sit below the finished scale where it is lowest over them, mm.
        screw_length: Over all, as text with its unit, in mm, or None: then the longest that fits is taken.
        tapped: "hard" for a sleeve of steel or hard brass, "soft" for aluminium and the like: how much thread holds;
            None goes by the sleeve's material.
        pocket_play: How much deeper than the sleeve the pockets are together, so that the scales close, mm.
        tang_hole: Drill for the sleeve in tang, liners and pocket, by name or diameter; None takes one with room for
            glue.
        screw_hole: Drill for the screw in the scales; None goes by the standard of clearance holes.
        head_hole: Drill whose size the counterbore over the head has; None takes the thinnest that lets the head in.

    Raises:
        UnknownNameError: No such material, thread, head or drill.
        ParameterError: A sleeve with no wall round its thread, or a hole too narrow for what goes through.

    >>> StandoffScrews(thread="M4", diameter=6.35, length=16.0).kind
    'standoff and screws'
    """

    def at(self, layers: LayerStack) -> StandoffStack:
        """Its stack at a place."""
        return StandoffStack(layers, self)


class StandoffStack(StandoffNumbers):
    """A standoff in its place."""

    def section(self, finished: BaseGeometry) -> FastenerSection:  # noqa: ARG002  # heads lie below the finished scale
        """The sleeve cut, the screws whole."""
        return standoff_section(self)

    @property
    def limits(self) -> tuple[Limit, ...]:
        """Floors, heads, thread, tips, and whether the scales close."""
        return standoff_limits(self)

    def single_changes(self) -> Iterator[New]:
        """Screws and sleeves as they are sold, other depths, lengths and cut screws."""
        return other_sizes(self)

    def whole_changes(self) -> Iterator[New]:
        """The longest standoff with the longest screws, then the same with thinner threads."""
        return another_standoff(self)

    def change_words(self, new: New) -> str:
        """Which standoff and screws to take, and what to sink deeper."""
        return standoff_words(self.hardware, new)

    def why_never(self, limit: Limit) -> str:
        """That half a sleeve can never hold the wanted thread."""
        return half_too_short(self) if limit.code == "engagement" else ""

    @classmethod
    def compared(cls, at: Sequence[StandoffStack]) -> Iterator[Finding]:
        """Screws of different lengths in standoffs alike."""
        return screws_differ(at)

    @classmethod
    def to_buy(cls, at: Sequence[StandoffStack]) -> Iterator[str]:
        """Sleeves, and screws."""
        return standoffs_to_buy(at)

    @property
    def pieces(self) -> tuple[str, ...]:
        """A sleeve and two screws."""
        return standoff_pieces(self)

    @property
    def rod(self) -> None:
        """Nothing is bought by the length."""

    @classmethod
    def fitted(cls, at: Sequence[StandoffStack]) -> Iterator[Fitting]:
        """Sleeves to length, then screws."""
        return standoff_work(at)

    @property
    def trial(self) -> str:
        """Which screws, and what must not meet."""
        return f"screws {self.screw.name}, tight before their tips meet"

    @property
    def gluing(self) -> str:
        """Nothing: screws hold the scales."""
        return ""

    @property
    def if_tang_thinner(self) -> str:
        """Scales would not close over the sleeve; one without pockets stands within tang and liners."""
        if self.pocket_stop.nominal <= 0:
            return ""
        return "face the sleeves as much shorter, or sink each pocket half as much deeper; the tips come as much closer"
