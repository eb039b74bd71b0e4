"""A two-part bolt whose heads are sunk in the scales and ground flush with them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from bladegeom.fasteners.alike import grouped
from bladegeom.fasteners.bolt.declared import DeclaredBolt
from bladegeom.fasteners.bolt.limits import bolt_limits
from bladegeom.fasteners.bolt.numbers import BoltNumbers
from bladegeom.fasteners.bolt.section import bolt_section
from bladegeom.fasteners.bolt.ways_out import another_bolt, bolt_words, other_lengths
from bladegeom.fasteners.hardware import New
from bladegeom.fasteners.layer_stack import LayerStack
from bladegeom.fasteners.stack_limits import Limit
from bladegeom.fasteners.stack_parts import FastenerSection, Fitting
from bladegeom.knife.finding import Finding
from bladegeom.quantities.units import show_length, show_mm


@dataclass(frozen=True, kw_only=True)
class ShoulderedBolt(DeclaredBolt):
    """Two halves, each a head on a shoulder; a threaded stud of the one screws into the other.

    The heads stand on the floors of counterbores and are ground flush with the finished scale.

    Args:
        metal: A name from the table of materials, or a Material of the shop's own.
        thread: Of the stud, by name.
        head_diameter: mm.
        head_height: From the shoulder to the top as bought, mm.
        shoulder_diameter: Less than the head's, more than the thread's, mm.
        shoulder_length: Of each half: the heads come no nearer than the two shoulders together, mm.
        stud_length: Of the thread beyond its shoulder; the other half is tapped as deep, mm.
        head_left: Wanted of each head after contouring, where the scale is lowest over it, mm.
        tapped: "hard" or "soft": how much thread holds; None goes by the metal.
        tang_hole: Drill for the shoulder in the tang, by name or diameter; None takes one with room for glue.
        scale_hole: The same in liners and scales.
        head_hole: Drill whose size the counterbore has; None takes the thinnest that lets the head in.

    Raises:
        UnknownNameError: No such material, thread or drill.
        ParameterError: Diameters that do not fit into each other, or a head thinner than what is to be left of it.

    >>> bolt = ShoulderedBolt(
    ...     metal="C26000",
    ...     thread="M4",
    ...     head_diameter=9.5,
    ...     head_height=2.5,
    ...     shoulder_diameter=6.0,
    ...     shoulder_length=12.0,
    ...     stud_length=5.0,
    ... )
    >>> bolt.kind
    'shouldered bolt'
    """

    def at(self, layers: LayerStack) -> BoltStack:
        """Its stack at a place."""
        return BoltStack(layers, self)


class BoltStack(BoltNumbers):
    """A bolt in its place."""

    def section(self, finished: BaseGeometry) -> FastenerSection:
        """Both halves, ground flush; the stud is hidden."""
        return bolt_section(self, finished)

    @property
    def limits(self) -> tuple[Limit, ...]:
        """Floors, heads, shoulders, thread."""
        return bolt_limits(self)

    def single_changes(self) -> Iterator[New]:
        """One dimension more or less by what is missing."""
        return other_lengths(self)

    def whole_changes(self) -> Iterator[New]:
        """Another bolt."""
        return another_bolt(self)

    def change_words(self, new: New) -> str:
        """What to sink deeper, and which lengths to take."""
        return bolt_words(self.hardware, new)

    def why_never(self, limit: Limit) -> str:  # noqa: ARG002  # a bolt of the right lengths does always
        """Nothing."""
        return ""

    @classmethod
    def compared(cls, at: Sequence[BoltStack]) -> Iterator[Finding]:  # noqa: ARG003  # each is told of by itself
        """Nothing."""
        yield from ()

    @classmethod
    def to_buy(cls, at: Sequence[BoltStack]) -> Iterator[str]:
        """Pairs of halves."""
        for bolt, group in grouped((stack.hardware, stack) for stack in at):
            yield (
                f"Shouldered bolts: {len(group)} pairs of {bolt.materials[0][1].name}, {bolt.screw.name}: "
                f"heads {show_length(bolt.head_diameter)} by {show_length(bolt.head_height)}, "
                f"shoulders {show_length(bolt.shoulder_diameter)} by {show_length(bolt.shoulder_length)}, "
                f"stud {show_length(bolt.stud_length)}."
            )

    @property
    def pieces(self) -> tuple[str, ...]:
        """One pair."""
        bolt = self.hardware
        return (
            f"bolt pair {bolt.screw.name}, {bolt.materials[0][1].name}, "
            f"head {show_mm(bolt.head_diameter)} mm, shoulder {show_mm(bolt.shoulder_length)} mm",
        )

    @property
    def rod(self) -> None:
        """Nothing is bought by the length."""

    @classmethod
    def fitted(cls, at: Sequence[BoltStack]) -> Iterator[Fitting]:
        """Shoulders to length."""
        for bolt, group in grouped((stack.hardware, stack) for stack in at):
            yield Fitting(
                holes=tuple(stack.layers.name for stack in group),
                part="bolts",
                operation=f"face the shoulders to {show_length(bolt.shoulder_length)}, "
                f"within {show_length(group[0].layers.knife.shop.tolerances.sleeve)}",
                tool=f"shouldered bolt {bolt.screw.name}; lathe, caliper",
                note=f"{2 * len(group)} halves to face, or to measure. Stud {show_length(bolt.stud_length)} long, the "
                f"other half tapped as deep; heads {show_length(bolt.head_height)} high.",
                measures=True,
            )

    @property
    def trial(self) -> str:
        """What must meet, and what must not."""
        return "heads seat, the shoulders do not meet"

    @property
    def gluing(self) -> str:
        """Nothing: bolts hold by themselves."""
        return ""

    @property
    def if_tang_thinner(self) -> str:
        """The shoulders would meet."""
        return "face each shoulder half as much shorter"
