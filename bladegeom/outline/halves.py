"""Blade halves and handle halves, and the joint at which any of one meets any of the other."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple, Protocol, runtime_checkable

from bladegeom.curves.curve import Curve
from bladegeom.quantities.declared import declared
from bladegeom.quantities.field_rules import Length


@declared("steel at the handle front")
class Joint:
    """The steel where the handle begins, at x = 0: both halves have this height and these directions there.

    Args:
        height: From the spine at the origin down to the underside, > 0 mm.
        top_slope_deg: Slope of the spine, positive where it rises towards the tip.
        bottom_slope_deg: Slope of the underside, positive where it rises towards the tip.

    >>> Joint(height=22.0).bottom_slope_deg
    0.0
    """

    height: Length
    top_slope_deg: float = 0.0
    bottom_slope_deg: float = 0.0


class BladeCurves(NamedTuple):
    """The blade's part of an outline, counter-clockwise: heel to tip, tip to origin, handle underside to heel.

    >>> from bladegeom.profiles.drop_point import DropPoint
    >>> DropPoint().blade().edge.end
    (110.0, -10.0)
    """

    edge: Curve
    spine: Curve
    choil: Curve


class HandleCurves(NamedTuple):
    """The handle's part of an outline, counter-clockwise: origin to butt, round the butt, and back to the front.

    >>> from bladegeom.profiles.drop_point import DropPoint
    >>> from bladegeom.profiles.swelled import Swelled
    >>> Swelled().handle(DropPoint().joint()).top.start
    (0.0, 0.0)
    """

    top: Curve
    butt: Curve
    underside: Curve


@runtime_checkable
class BladeProfile(Protocol):
    """A parametric blade half."""

    def joint(self) -> Joint:
        """Height and directions at which the handle takes over."""
        ...

    def blade(self) -> BladeCurves:
        """Curves in the design's frame."""
        ...


@runtime_checkable
class HandleProfile(Protocol):
    """A parametric handle half."""

    def handle(self, joint: Joint) -> HandleCurves:
        """Curves in the design's frame, meeting the blade in the joint."""
        ...


def has_hidden_tang(profiles: Iterable[object]) -> bool:
    """Whether one of some profiles is a handle whose tang is hidden in a block.

    Such a half says ``hidden = True`` of itself: its tang goes into a block, behind shoulders, no scales lie on it, and
    the joint has corners.
    """
    return any(getattr(profile, "hidden", False) for profile in profiles)
