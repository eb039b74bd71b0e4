"""The numbers of the stacks at the fasteners, those of one kind in one table: what is alike is told once."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from bladegeom.drawing.dimension import Dimension
from bladegeom.fasteners.alike import by_name, close, grouped
from bladegeom.fasteners.hardware import Stack
from bladegeom.fasteners.rod import CUT_LENGTH
from bladegeom.fasteners.stack_limits import Limit
from bladegeom.fasteners.stack_words import number_words
from bladegeom.quantities.interval import Interval
from bladegeom.quantities.shown import sawn_length
from bladegeom.quantities.unit_order import first_unit
from bladegeom.quantities.units import show_both, show_inches, show_mm
from bladegeom.sheets.stack_dimensions import dimensions
from bladegeom.sheets.stack_shapes import StackShapes


@dataclass(frozen=True, kw_only=True)
class FitLine:
    """A value of one number, in words.

    Args:
        names: Of the fasteners that have it; empty where all do.
        nominal: In both units.
        worst: From and to, in the unit that is told first; empty where none is reckoned.
        least: That must be left, in that unit; empty where nothing is held to it.
    """

    names: str
    nominal: str
    worst: str = ""
    least: str = ""


@dataclass(frozen=True, kw_only=True)
class FitRow:
    """One number.

    Args:
        words: What it is called.
        lines: Its values.
        drawn: Its dimension in the section of the first fastener; None where none is drawn.
    """

    words: str
    lines: tuple[FitLine, ...]
    drawn: Dimension | None = None


@dataclass(frozen=True, eq=False)
class Alike:
    """Stacks that nobody tells apart.

    Args:
        stacks: One or more.
    """

    stacks: tuple[Stack, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """Of the fasteners."""
        return by_name(stack.layers.name for stack in self.stacks)

    @cached_property
    def shapes(self) -> StackShapes:
        """What a section through the first one shows."""
        return StackShapes(self.stacks[0])

    @cached_property
    def drawn(self) -> Mapping[str, Dimension]:
        """Its dimensions by name: those over the section from the outermost to the nearest, then those below it."""
        above, below = dimensions(self.shapes)
        return {dimension.name: dimension for dimension in (*above[::-1], *below)}

    def line(self, name: str) -> FitLine | None:
        """Value of a number, told without names; None where it has none."""
        first = self.stacks[0]
        if name not in first.numbers:
            return self._drawn_line(self.drawn[name]) if name in self.drawn else None
        many = [stack.numbers[name] for stack in self.stacks]
        worst = Interval(min(v.low for v in many), many[0].nominal, max(v.high for v in many))
        held: dict[str, Limit] = {limit.number: limit for limit in first.limits if limit.number}
        return FitLine(
            names="",
            nominal=_sawn(worst.nominal) if name == CUT_LENGTH else show_both(worst.nominal),
            worst=f"{_alone(worst.low)} to {_alone(worst.high)}",
            least=_alone(held[name].least) if name in held else "",
        )

    def _drawn_line(self, drawn: Dimension) -> FitLine:
        """Of what is drawn alone; a screw with its name on the box."""
        screw = self.stacks[0].screw
        sold = f"sold: {screw.name}" if screw and _is_screw(drawn) else ""
        return FitLine(names="", nominal=show_both(drawn.value), worst=sold)


def _alone(mm: float) -> str:
    """A length in the unit that is told first."""
    return show_mm(mm) if first_unit() == "mm" else show_inches(mm)


def _sawn(mm: float) -> str:
    """As the drill card has it, in a table whose head names the units."""
    shown = sawn_length(mm)
    return f"{shown.first.split()[0]} ({shown.second.split()[0]})"


def _is_screw(dimension: Dimension) -> bool:
    return dimension.words.startswith("screw")


@dataclass(frozen=True, eq=False)
class FitTable:
    """All stacks of one kind of hardware.

    Args:
        groups: Of them that are alike.
    """

    groups: tuple[Alike, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """Of all fasteners."""
        return by_name(name for group in self.groups for name in group.names)

    @property
    def first(self) -> Alike:
        """That is drawn."""
        return self.groups[0]

    @property
    def kind(self) -> str:
        """Of hardware."""
        return self.first.stacks[0].layers.fastener.hardware.kind

    @property
    def has_stops(self) -> bool:
        """Whether anything is sunk to a depth."""
        return any(cut.depth is not None for cut in self.first.stacks[0].cuts)

    @cached_property
    def rows(self) -> tuple[FitRow, ...]:
        """Every number once."""
        names = dict.fromkeys(
            itertools.chain(
                self.first.drawn, *(chain for group in self.groups for chain in (group.stacks[0].numbers, group.drawn))
            )
        )
        rows = (
            FitRow(words=self._words(name), lines=self._lines(name), drawn=self.first.drawn.get(name)) for name in names
        )
        return (*rows, *self._screws())

    def _screws(self) -> Iterator[FitRow]:
        """Their names on the box, where no dimension tells them."""
        told = [
            (group.stacks[0].screw.name, group)
            for group in self.groups
            if group.stacks[0].screw and not any(map(_is_screw, group.drawn.values()))
        ]
        if told:
            lines = (self._told(FitLine(names="", nominal=name), alike) for name, alike in grouped(told))
            yield FitRow(words="screws, length over all", lines=tuple(lines))

    def _words(self, name: str) -> str:
        drawn = next((group.drawn[name] for group in self.groups if name in group.drawn), None)
        return drawn.words if drawn else number_words(name)

    def _lines(self, name: str) -> tuple[FitLine, ...]:
        told = [(found, group) for group in self.groups if (found := group.line(name))]
        return tuple(self._told(found, alike) for found, alike in grouped(told))

    def _told(self, found: FitLine, alike: Sequence[Alike]) -> FitLine:
        """With the names of its fasteners, unless it is true of all."""
        if len(alike) == len(self.groups):
            return found
        names = ", ".join(by_name(name for group in alike for name in group.names))
        return FitLine(names=names, nominal=found.nominal, worst=found.worst, least=found.least)


def fit_tables(stacks: Sequence[Stack]) -> Iterator[FitTable]:
    """A table for each kind of hardware under scales; none on a bare tang."""
    scaled = [stack for stack in stacks if stack.layers.knife.scales is not None]
    for _, kind in grouped(((stack.layers.fastener.hardware, tuple(stack.numbers)), stack) for stack in scaled):
        groups = [
            Alike(tuple(alike))
            for _, same in grouped((stack.screw, stack) for stack in kind)
            for alike in close(same, _numbers, kind[0].layers.knife.shop.tolerances.told_apart)
        ]
        yield FitTable(tuple(groups))


def _numbers(stack: Stack) -> tuple[float, ...]:
    """What makes two stacks read alike, mm."""
    shapes = StackShapes(stack)
    numbers = (v for interval in stack.numbers.values() for v in (interval.low, interval.nominal, interval.high))
    face = float(np.interp(0.0, shapes.across, shapes.surface))
    return (*numbers, shapes.half_tang, shapes.inside, shapes.slab_top, face)
