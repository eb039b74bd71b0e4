"""What every kind of hardware must answer: as it is declared, and as it stands in its place.

A new kind is a file with two classes, one made from :class:`Hardware` and one made from :class:`Stack`. Nothing else
asks which kind it has before it. What is left out is a type error where the kind is used, and an error when it runs.
"""

from __future__ import annotations

import dataclasses
import math
from abc import ABC, abstractmethod
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import Any, Literal, Self

from shapely.geometry.base import BaseGeometry

from bladegeom.fasteners.layer_stack import LayerStack
from bladegeom.fasteners.stack_limits import Limit
from bladegeom.fasteners.stack_parts import ChosenHole, Cut, FastenerSection, Fitting, RodPiece, Solid, Wall
from bladegeom.fasteners.stack_words import Numbers
from bladegeom.knife.fastener import DeclaredHardware
from bladegeom.knife.finding import Finding
from bladegeom.quantities.sold_lengths import SoldLength
from bladegeom.solids.revolve import Ring

New = Mapping[str, Any]
"""Other dimensions of a piece of hardware, by field; a screw's length goes by the text that a maker would write."""


class Hold(IntEnum):
    """How hardware holds the scales; papers tell of the kinds in this order."""

    COMES_OFF = 1
    CLAMPS = 2
    STAYS = 3


@dataclass(frozen=True, kw_only=True)
class Hardware(DeclaredHardware):
    """A piece of hardware as a maker declares it: a value, wherever it stands.

    >>> [fastener.hardware.kind for fastener in knife.fasteners]
    ['glued pin', 'glued pin']
    """

    @property
    @abstractmethod
    def hold(self) -> Hold:
        """How it holds."""

    @property
    @abstractmethod
    def without_scales(self) -> Literal["error", "note"] | None:
        """How bad it is on a knife that has no scales; None where it may stand alone."""

    @property
    @abstractmethod
    def passage(self) -> float | None:
        """Diameter of what a cord goes through, mm; None where it takes none."""

    @property
    @abstractmethod
    def walls(self) -> tuple[Wall, ...]:
        """Walls of what is bought."""

    @property
    @abstractmethod
    def chosen_holes(self) -> tuple[ChosenHole, ...]:
        """Holes that the maker chose and that a play is asked of."""

    @abstractmethod
    def of_metal(self, metal: str) -> Self:
        """The same, all of another metal."""

    @abstractmethod
    def at(self, layers: LayerStack) -> Stack:
        """The stack in which it stands at a place."""


@dataclass(frozen=True, eq=False)
class Stack(ABC):
    """A piece of hardware in its place, with the layers there.

    Args:
        layers: The layers.
        hardware: That stands there.

    >>> stack = design.stacks[0]
    >>> stack.layers.name, [cut.bore.layer for cut in stack.cuts]
    ('F1', ['tang', 'liner', 'scale'])
    """

    layers: LayerStack
    hardware: Hardware

    def tried(self, new: New) -> Self:
        """The stack with other dimensions of its hardware, which keeps its kind.

        Raises:
            ParameterError: Such hardware cannot be.
        """
        hardware = dataclasses.replace(self.hardware, **new)
        return type(self)(self.layers.trying(hardware), hardware)

    # What is there

    @property
    @abstractmethod
    def numbers(self) -> Numbers:
        """All that the papers tell of it, mm."""

    @property
    @abstractmethod
    def screw(self) -> SoldLength | None:
        """The screws that it takes; None where none comes in lengths."""

    @property
    @abstractmethod
    def cuts(self) -> tuple[Cut, ...]:
        """What is drilled and sunk, layer by layer."""

    @property
    @abstractmethod
    def removed(self) -> tuple[Ring, ...]:
        """From each scale."""

    @property
    @abstractmethod
    def solids(self) -> tuple[Solid, ...]:
        """Its metal on each side."""

    @property
    def open_ring(self) -> float:
        """Width of what stays open round it where it comes out, mm: from its metal to the rim of its hole."""
        rings = [ring for solid in self.solids for ring in solid.rings]
        ends = [math.inf if ring.high is None else max(ring.high) for ring in rings]
        metal = max(ring.outer for ring, end in zip(rings, ends, strict=True) if end == max(ends))
        if self.layers.knife.scales is not None:
            return self.layers.widest_outside / 2 - metal
        return next(bore.diameter for bore in self.layers.bores if bore.layer == "tang") / 2 - metal

    @abstractmethod
    def section(self, finished: BaseGeometry) -> FastenerSection:
        """Cut along its axis.

        Args:
            finished: The finished handle in the same frame, holes filled.
        """

    # What it is held to, and the way out

    @property
    @abstractmethod
    def limits(self) -> tuple[Limit, ...]:
        """All that it is held to; of a scale too thin for the head that only, since the rest would follow from it."""

    @abstractmethod
    def single_changes(self) -> Iterator[New]:
        """Ways out of what it misses by another value of one field each, the least trouble first."""

    @abstractmethod
    def whole_changes(self) -> Iterator[New]:
        """Dimensions that fit the layers in every respect, if there are any; the first of them that does counts."""

    @abstractmethod
    def change_words(self, new: New) -> str:
        """What a maker is told to do for other dimensions."""

    @abstractmethod
    def why_never(self, limit: Limit) -> str:
        """Why a limit can never be kept by hardware of such sizes, whatever the layers; "" where it can."""

    @classmethod
    @abstractmethod
    def compared(cls, at: Sequence[Self]) -> Iterator[Finding]:
        """What is to be told of several on one knife with scales, beside what each one misses."""

    # What is bought and done

    @classmethod
    @abstractmethod
    def to_buy(cls, at: Sequence[Self]) -> Iterator[str]:
        """Lines for all of them on a knife: sizes, and how many."""

    @property
    @abstractmethod
    def pieces(self) -> tuple[str, ...]:
        """Names by which a price list knows what is bought by the piece, each as often as it is taken."""

    @property
    @abstractmethod
    def rod(self) -> RodPiece | None:
        """What is bought by the length, if anything."""

    @classmethod
    @abstractmethod
    def fitted(cls, at: Sequence[Self]) -> Iterator[Fitting]:
        """Work on all of them on a knife, in order."""

    @property
    @abstractmethod
    def trial(self) -> str:
        """What to look for when the handle is tried dry; "" where there is nothing."""

    @property
    @abstractmethod
    def gluing(self) -> str:
        """What to do with it when the handle is glued; "" where there is nothing."""

    @property
    @abstractmethod
    def if_tang_thinner(self) -> str:
        """What to do where the tang is ground thinner than drawn; "" where no depth or length hangs on it."""
