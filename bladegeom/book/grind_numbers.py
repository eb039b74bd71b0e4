"""The thicknesses that the pages of a grind tell, each with the stage at which it is to be expected."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.grinding.grind_sheet import GrindSheet
from bladegeom.grinding.thickness import thickness
from bladegeom.knife.grind import Stage
from bladegeom.quantities.number_alone import alone
from bladegeom.quantities.shown import Shown, caliper_length, rule_length, scribed_length
from bladegeom.quantities.tolerances import FINE_CHORD
from bladegeom.quantities.unit_order import first_unit
from bladegeom.quantities.units import inch

WORKED_TO: Final[tuple[Stage, ...]] = ("rough", "finished")
"""Stages that are told beside each other: in thin letters, and in bold ones."""


_MOST_HEIGHTS: Final = 13
"""Heights that are told."""


@dataclass(frozen=True, kw_only=True)
class Told:
    """A number of one stage.

    Args:
        shown: Without its unit.
        bold: Whether it is that of the blade ground to size.
    """

    shown: Shown
    bold: bool


def height_step() -> float:
    """Distance of the heights that are told, mm: 5 mm, or a quarter of an inch where that is told first; own choice."""
    return 5.0 if first_unit() == "mm" else inch("1/4")


def benched(sheet: GrindSheet) -> GrindSheet:
    """The same with heights that are set off in the unit that is told first, no more of them than a table holds."""
    sheet = dataclasses.replace(sheet, height_step=height_step())
    while len(sheet.heights) > _MOST_HEIGHTS:
        sheet = dataclasses.replace(sheet, height_step=2 * sheet.height_step)
    return sheet


def edge_step() -> float:
    """The same right behind the edge, mm."""
    return 1.0 if first_unit() == "mm" else inch("1/16")


def show_height(height: float) -> Shown:
    """A distance from the edge, mm, as it is set off at the bench."""
    return Shown(first=rule_length(height).first, second=scribed_length(height).second)


@dataclass(frozen=True)
class GrindNumbers:
    """Thicknesses of a blade in the two stages that are worked to.

    Args:
        sheet: Of it.
    """

    sheet: GrindSheet

    @property
    def stages(self) -> tuple[Stage, ...]:
        """Those of the two that the blade has."""
        return tuple(stage for stage in WORKED_TO if stage in self.sheet.stages)

    @cached_property
    def _tables(self) -> dict[Stage, FloatArray]:
        return {stage: self.sheet.thickness(stage) for stage in self.stages}

    def thickness(self, station: int, height: float) -> tuple[Told, ...]:
        """What to expect at a station, counted from 0, so far from the edge; at each of the stages."""
        at = self.sheet.heights.index(height) if height in self.sheet.heights else None
        told = []
        for stage in self.stages:
            mm = float(self._tables[stage][station, at]) if at is not None else self._between(stage, station, height)
            told.append(Told(shown=alone(caliper_length(mm)), bold=stage == "finished"))
        return tuple(told)

    def _between(self, stage: Stage, station: int, height: float) -> float:
        x, y = self.sheet.stations[station].place(np.array([height]))
        return float(thickness(self.sheet.knife, stage, x, y, chord=FINE_CHORD)[0])

    def ground(self, station: int) -> float:
        """How far up something is ground at a station, mm: all the way where the stock is tapered."""
        told = self.sheet.stations[station]
        return told.reach if told.grind_line is None or self.sheet.knife.stock.taper else told.grind_line
