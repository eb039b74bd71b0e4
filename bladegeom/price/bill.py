"""The bill of material: what a number of knives of one design is made from, and how much work the design asks for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Annotated

from bladegeom.cutfile.cut_steel import steel_cut
from bladegeom.fasteners.alike import grouped
from bladegeom.fasteners.hardware import Stack
from bladegeom.fasteners.stack import stacks
from bladegeom.fasteners.stack_parts import SAW_CUT, RodPiece
from bladegeom.handle.scale_blank import SlabBlank, blanks
from bladegeom.holes.cut_holes import cut_holes
from bladegeom.knife.knife import Knife
from bladegeom.mass.weigh import Weighing, weigh
from bladegeom.price.price_items import Grinding
from bladegeom.quantities.declared import checked
from bladegeom.quantities.field_rules import Between
from bladegeom.quantities.materials import Material
from bladegeom.quantities.shown import room_to_buy
from bladegeom.quantities.units import show_length

MOST_COPIES = 1000
"""Own choice: a run of more is no longer made by hand."""

_SAME = 0.005
"""Rods and pieces whose sizes differ by less are one, mm: half the last digit shown."""


@dataclass(frozen=True, kw_only=True)
class BarBlank:
    """The piece of bar for one knife: the box round the outline and an allowance on every side.

    Args:
        steel: Of the bar.
        thickness: Of the bar, mm.
        length: Along the bar, mm.
        height: Across it, mm.
    """

    steel: Material
    thickness: float
    length: float
    height: float

    @property
    def words(self) -> str:
        """What it is, with its sizes."""
        return (
            f"{self.steel.name}, {show_length(self.thickness)} thick, "
            f"{room_to_buy(self.length)} by {room_to_buy(self.height)} a blank"
        )


@dataclass(frozen=True, kw_only=True)
class RodPieces:
    """Pieces of one kind of rod or tube for all knives.

    Args:
        metal: What it is made of.
        diameter: Outside, mm.
        inside: Of a tube, mm; None is a rod.
        lengths: To which the pieces are sawn, mm.
    """

    metal: Material
    diameter: float
    inside: float | None
    lengths: tuple[float, ...]

    @property
    def words(self) -> str:
        """What it is."""
        bore = "" if self.inside is None else f", {show_length(self.inside)} inside"
        kind = "rod" if self.inside is None else "tube"
        return f"{kind} of {self.metal.name}, {show_length(self.diameter)} in diameter{bore}"

    @property
    def whole(self) -> float:
        """All pieces with a saw cut each, mm."""
        return sum(self.lengths) + SAW_CUT * len(self.lengths)


@dataclass(frozen=True)
class Bill:
    """Everything that a run takes; prices are none of its business.

    Args:
        knife: The design.
        copies: Of it.
        allowance: Round a blank on every side, mm.
    """

    knife: Knife
    copies: int = 1
    allowance: float = 0.0

    def __post_init__(self) -> None:
        checked("copies", self.copies, Annotated[int, Between(1, MOST_COPIES)])

    @cached_property
    def bar(self) -> BarBlank:
        """Of one knife, the outline's box lying along the bar."""
        x0, y0, x1, y1 = self.knife.outline.bounds
        stock, more = self.knife.stock, 2 * self.allowance
        return BarBlank(steel=stock.material, thickness=stock.thickness, length=x1 - x0 + more, height=y1 - y0 + more)

    @cached_property
    def sheets(self) -> tuple[SlabBlank, ...]:
        """Slabs and liners of one knife."""
        return blanks(self.knife)

    @cached_property
    def rods(self) -> tuple[RodPieces, ...]:
        """For pins and tubes of all knives."""
        rods = (stack.rod for stack in self._stacks)
        kinds = grouped((_kind(rod), rod) for rod in rods if rod)
        return tuple(_pieces(group, self.copies) for _, group in kinds)

    @cached_property
    def hardware(self) -> tuple[tuple[str, int], ...]:
        """Everything that is bought by the piece for all knives, and how many."""
        count = Counter(name for stack in self._stacks for name in stack.pieces)
        return tuple((name, n * self.copies) for name, n in count.items())

    @property
    def cut_path(self) -> float:
        """Of one knife's steel, everything that its cut file cuts, mm."""
        return steel_cut(self.knife).length

    @property
    def pierces(self) -> int:
        """How often a cut starts in one knife's steel."""
        return steel_cut(self.knife).pierces

    @cached_property
    def holes(self) -> int:
        """Drilled or reamed in one knife: what the cut does not finish, and in each scale one at every through hole."""
        own = sum(hole.finish != "cut" for hole in cut_holes(self.knife))
        through = sum(hole.purpose != "lightening" for hole in self.knife.openings)
        return own + (2 * through if self.knife.scales else 0)

    def ground_off(self, step: Grinding) -> float:
        """Steel that a step of grinding takes off one knife, mm3: rough, from the blank to hardening; finish, after."""
        before, after = ("blank", "rough") if step == "rough" else ("rough", "finished")
        return self._weighing.stage(before).amount - self._weighing.stage(after).amount  # type: ignore[arg-type]

    @cached_property
    def _weighing(self) -> Weighing:
        return weigh(self.knife)

    @cached_property
    def _stacks(self) -> Sequence[Stack]:
        return stacks(self.knife)


def _kind(rod: RodPiece) -> tuple[str, int, int]:
    return rod.metal.name, round(rod.diameter / _SAME), round((rod.inside or 0.0) / _SAME)


def _pieces(group: Sequence[RodPiece], copies: int) -> RodPieces:
    first = group[0]
    lengths = tuple(rod.length for rod in group) * copies
    return RodPieces(metal=first.metal, diameter=first.diameter, inside=first.inside, lengths=lengths)
