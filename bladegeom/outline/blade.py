"""What the blade profiles share: edges, spines and points, and a choil between handle and heel."""

from __future__ import annotations

import math
from abc import ABC, abstractmethod
from collections.abc import Mapping
from functools import cached_property
from typing import ClassVar

from bladegeom.curves.build import direction, line
from bladegeom.curves.curve import Curve, Vector, join
from bladegeom.outline.corner import down_to_heel
from bladegeom.outline.flow import bow, straight_then_bend
from bladegeom.outline.halves import BladeCurves, Joint
from bladegeom.outline.notch import notch_to_heel
from bladegeom.outline.parameter import require, require_numbers
from bladegeom.outline.ramp import peaked, ramped
from bladegeom.outline.starting_sizes import StartingSizes
from bladegeom.quantities.tolerances import JOINED

_HEEL_RAKE_DEG = 4.0
"""The rear border of a deep heel leans forward by this; own choice by eye."""

_NOSE_FULLNESS = (0.56, 0.57)
"""Of a falling nose at the level and at the tip: a little fuller than an ellipse; own choice by eye."""


class BladeHalf(ABC):
    """What all blade profiles share; each is a frozen dataclass of its parameters, and draws tip, edge and spine.

    Class attributes:
        underside_slope_deg: Of the underside at the handle front, so that the handle flows into the choil; by eye.
        starting_sizes: Of a knife with such a blade.
    """

    blade_length: float
    height: float
    front_height: float
    heel: float
    choil_radius: float

    underside_slope_deg: ClassVar[float] = -4.0
    starting_sizes: ClassVar[StartingSizes] = StartingSizes()

    def __post_init__(self) -> None:
        require_numbers(self)
        self.blade()

    def joint(self) -> Joint:
        """Height and directions at which the handle takes over: a level spine; the underside falls to the choil."""
        return Joint(height=self.front_height, bottom_slope_deg=self.underside_slope_deg)

    def blade(self) -> BladeCurves:
        """Edge, spine and choil.

        Raises:
            ParameterError: The choil does not fit between handle and heel.
        """
        return self._curves

    @cached_property
    def _curves(self) -> BladeCurves:
        return BladeCurves(self._edge(), self._spine().reversed(), self._choil())

    def _choil(self) -> Curve:
        """From the handle's underside to the heel."""
        return down_to_heel(
            (0.0, -self.front_height),
            self._heel,
            slope_deg=self.underside_slope_deg,
            rake_deg=_HEEL_RAKE_DEG,
            radius=self.choil_radius,
        )

    @property
    def _heel(self) -> Vector:
        return self.heel, -self.height

    @property
    @abstractmethod
    def _tip(self) -> Vector: ...

    @abstractmethod
    def _edge(self) -> Curve:
        """Heel to tip."""

    @abstractmethod
    def _spine(self) -> Curve:
        """From the origin to the tip."""


class BentBlade(BladeHalf):
    """A blade whose edge and spine each run straight and then bend to the tip.

    Class attributes:
        spine_power: How late the spine bends, see ``straight_then_bend``.
    """

    spine_straight: float
    edge_straight: float
    belly: float

    spine_power: ClassVar[float] = 2.0

    def _edge(self) -> Curve:
        return straight_then_bend(self._heel, self.edge_straight, self._tip, power=self.belly)

    def _spine(self) -> Curve:
        return straight_then_bend((0.0, 0.0), self.spine_straight, self._tip, power=self.spine_power)


class FlushBlade(BentBlade):
    """A blade no higher than the handle, without a choil: ricasso and edge run on from the underside, level with it."""

    underside_slope_deg: ClassVar[float] = 0.0

    @property
    def height(self) -> float:  # type: ignore[override]  # no parameter of its own
        """Spine line down to the edge at the heel, mm: as the handle has it."""
        return self.front_height

    def _choil(self) -> Curve:
        return line((0.0, -self.front_height), self._heel)


class NotchedBlade(BentBlade):
    """A blade with a small notch before the edge, and a ricasso that comes down behind it.

    Class attributes:
        ricasso_corner: Outside radius between ricasso and notch, mm.
    """

    # From the underside down to the ricasso, and into the notch.
    inflections: ClassVar[Mapping[str, int]] = {"choil": 2}
    ricasso_corner: ClassVar[float] = 4.0

    @property
    def _low(self) -> float:
        """Height of the lowest place behind the notch."""
        return -self.height

    def _choil(self) -> Curve:
        return notch_to_heel(
            (0.0, -self.front_height),
            self._heel,
            slope_deg=self.underside_slope_deg,
            low=self._low,
            corner=self.ricasso_corner,
            radius=self.choil_radius,
        )


class CutBlade(BladeHalf):
    """A blade whose edge runs straight and then bends to the tip, and whose level spine is cut straight down to it."""

    tip_drop: float
    cut: float
    corner_round: float
    edge_straight: float
    belly: float

    @property
    def _tip(self) -> Vector:
        return self.blade_length, -self.tip_drop

    def _edge(self) -> Curve:
        return straight_then_bend(self._heel, self.edge_straight, self._tip, power=self.belly)

    def _spine(self) -> Curve:
        x, y = self._tip
        dx, dy = direction(-self.cut)
        corner = (x - y * dx / dy, 0.0)
        cut = line((corner[0] + self.corner_round * dx, self.corner_round * dy), (x, y))
        return rounded_corner(corner, cut)


def falling_nose(tip: Vector, *, height: float, nose: float, tip_deg: float) -> Curve:
    """Spine that runs level from the origin and falls in one round to a low tip; from the origin to the tip.

    Args:
        tip: Below the level of the origin, mm.
        height: Of the blade, mm.
        nose: The round begins so many heights behind the tip.
        tip_deg: How steeply it reaches the tip, from level, above 0 to 90.

    Raises:
        ParameterError: The nose is longer than the blade, or too short for a round of that steepness.
    """
    x, y = tip
    corner = x + y / math.tan(math.radians(tip_deg))
    least, most = (x - corner) / height, x / height
    must = f"be more than {least:.3f}, for the tip is reached at {tip_deg:g} degrees, and less than {most:.3f}"
    require("nose", nose, "of the height", must, ok=least < nose < most)
    begin = (x - nose * height, 0.0)
    return ramped((0.0, 0.0), bow(begin, (corner, 0.0), tip, fullness=_NOSE_FULLNESS))


def rounded_corner(corner: Vector, following: Curve) -> Curve:
    """A level line from the origin to a corner out of which a curve goes on, the corner rounded.

    Args:
        corner: Where the level meets the curve's first direction, mm.
        following: The curve; the rounding begins as far before the corner as it ends behind it, where the curve starts.
    """
    reach = math.dist(corner, following.start)
    if reach <= JOINED:
        return join(line((0.0, 0.0), corner), following)
    begin = (corner[0] - reach, 0.0)
    return join(line((0.0, 0.0), begin), peaked(begin, corner, following.start), following)
