"""What the holes leave of the tang: upright sections of the finished steel along it, drilled and undrilled.

A section counts the steel alone, not scales, pins or tubes. It compares sections with each other: what a drilled hole
concentrates at its rim is not in it, and nothing here promises strength.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import FloatArray
from bladegeom.knife.hole import Opening, axis_points
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.quantities.tolerances import POINT

NO_PROMISE = (
    "Sections are compared with each other: what a hole's rim concentrates is not counted, and nothing here promises "
    "strength."
)
"""Stands wherever sections are shown."""

STEP = 0.25
"""Stations along the tang are no farther apart, mm; hole centres and the ends of holes are stations too."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Sections:
    """Upright sections at n places, every array of shape (n,), in mm, mm2, mm3 and mm4.

    Args:
        height: Of steel in the section.
        area: Of it.
        centroid: Height of its centre, y; NaN where there is no steel.
        edgewise_inertia: Second moment for bending in the blade's plane.
        sideways_inertia: Second moment for bending out of the blade's plane.
        edgewise_modulus: Section modulus, to the steel farther from the centroid, above or below.
        sideways_modulus: Section modulus, to the faces.
    """

    height: FloatArray
    area: FloatArray
    centroid: FloatArray
    edgewise_inertia: FloatArray
    sideways_inertia: FloatArray
    edgewise_modulus: FloatArray
    sideways_modulus: FloatArray


@dataclass(frozen=True, kw_only=True, eq=False)
class NetSection:
    """The tang with its holes against the same tang without any.

    Args:
        knife: Whose tang it is.
        x: Of n stations from the front to the butt, descending, mm; all have steel.
        net: With all openings.
        full: Without any.
    """

    knife: Knife
    x: FloatArray
    net: Sections
    full: Sections

    @cached_property
    def height_left(self) -> FloatArray:
        """Share of the tang's own height that is left at each station; sideways bending goes with it."""
        return self.net.height / self.full.height

    @cached_property
    def sideways_ahead(self) -> FloatArray:
        """Least undrilled sideways modulus from the front to each station, that one included, mm3.

        A load behind a station bends every section ahead of it at least as much. 1 and more of this is left where the
        undrilled tang is weaker somewhere nearer to the blade than the drilled one here.
        """
        return np.minimum.accumulate(self.full.sideways_modulus)

    @cached_property
    def edgewise_ahead(self) -> FloatArray:
        """The same edgewise, mm3."""
        return np.minimum.accumulate(self.full.edgewise_modulus)

    @cached_property
    def sideways_against_ahead(self) -> FloatArray:
        """Net sideways modulus as a share of the weakest undrilled section ahead."""
        return self.net.sideways_modulus / self.sideways_ahead

    @cached_property
    def edgewise_against_ahead(self) -> FloatArray:
        """Net edgewise modulus as a share of the weakest undrilled section ahead."""
        return self.net.edgewise_modulus / self.edgewise_ahead

    @cached_property
    def weakest(self) -> int | None:
        """Index of the station with the least share of the weakest section ahead, sideways or edgewise.

        Only stations count that a hole cuts behind the clear strip, in which there should be none; None without any.
        """
        behind = self.x <= tang_front(self.knife) - self.knife.rules.clear_strip
        cut = behind & (self.net.height < self.full.height)
        if not cut.any():
            return None
        least = np.minimum(self.sideways_against_ahead, self.edgewise_against_ahead)
        return int(np.where(cut, least, np.inf).argmin())


@memo
def net_section(knife: Knife) -> NetSection:
    """Sections of the finished tang with and without its holes, from the handle front to the butt.

    The tang begins behind the handle front's middle and behind the plunge line, so that a section is as thick all over
    as the tapered stock. Where an upright line meets the steel more than once, the topmost stretch counts. Openings are
    exact, slots too; the outline is true to 0.005 mm. The deepest place of each opening is a station, and so is that of
    two round holes on one upright line.
    """
    x = stations(knife)
    upper, lower = knife.outline.tang_height(x)
    x = x[upper > lower]
    return NetSection(knife=knife, x=x, net=sections(knife, x, knife.openings), full=sections(knife, x, ()))


def tang_front(knife: Knife) -> float:
    """Foremost upright section of the tang: at the handle front's middle, or behind the plunge line if that is farther.

    Returns:
        Its x, mm.
    """
    plunge = knife.plunge_line
    return min(knife.handle_front_middle[0], plunge.start[0], plunge.end[0])


def stations(knife: Knife) -> FloatArray:
    """Places along the tang, front to butt: an even row, and wherever holes are deepest or begin; shape (n,), mm."""
    front, butt = tang_front(knife), knife.outline.bounds[0]
    even = np.linspace(front, butt, max(2, int(np.ceil((front - butt) / STEP)) + 1))
    special = np.concatenate([breaks(knife, knife.openings), _deepest(knife.openings)])
    inside = special[(special > butt) & (special < front)]
    x = np.unique(np.concatenate([even, inside]))
    return np.asarray(x[np.concatenate([[True], np.diff(x) > POINT])][::-1])


def breaks(knife: Knife, openings: Sequence[Opening]) -> FloatArray:
    """Places along x where sections begin to change in another way: ends of openings and their axes, taper; mm."""
    axes = axis_points(openings)
    radius = np.array([opening.diameter for opening in openings]) / 2
    ends = np.concatenate([axes[..., 0].min(axis=1) - radius, axes[..., 0].max(axis=1) + radius])
    return np.concatenate([ends, axes[..., 0].ravel(), [x for x, _ in knife.stock.taper]])


def _deepest(openings: Sequence[Opening]) -> FloatArray:
    """Where one opening is deepest, at its middle and at the ends of its axis, and where two together are; mm.

    Two circles grow shallower at the same rate where the distances to their centres are as their radii.
    """
    x = axis_points(openings)[..., 0].ravel()
    radius = np.repeat([opening.diameter / 2 for opening in openings], 2)
    reach = radius[:, None] + radius
    shared = np.abs(x[:, None] - x) < reach
    both = (x[:, None] * radius + x * radius[:, None])[shared] / reach[shared]
    return np.concatenate([x, [opening.x for opening in openings], both])


def sections(knife: Knife, x: FloatArray, openings: Sequence[Opening]) -> Sections:
    """Upright sections of the tang at places (n,) with some openings; NaN where there is no steel at an x."""
    upper, lower = knife.outline.tang_height(x)
    low, high = _stretches(x, lower, upper, openings)
    thick = 2 * knife.stock.half_thickness(x)
    size = high - low
    height = size.sum(axis=1)
    middle = (upper + lower)[:, None] / 2
    place = (low + high) / 2 - middle
    with np.errstate(divide="ignore", invalid="ignore"):
        centre = (size * place).sum(axis=1) / height
    edgewise = thick * (size**3 / 12 + size * (place - centre[:, None]) ** 2).sum(axis=1)
    steel = size > 0
    gone = ~steel.any(axis=1) & (upper >= lower)
    top = np.where(steel, high - middle, -np.inf).max(axis=1)
    bottom = np.where(steel, low - middle, np.inf).min(axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        modulus = edgewise / np.maximum(top - centre, centre - bottom)
    return Sections(
        height=height,
        area=thick * height,
        centroid=centre + middle[:, 0],
        edgewise_inertia=np.where(gone, 0.0, edgewise),
        sideways_inertia=thick**3 * height / 12,
        edgewise_modulus=np.where(gone, 0.0, modulus),
        sideways_modulus=thick**2 * height / 6,
    )


def chords(x: FloatArray, openings: Sequence[Opening]) -> tuple[FloatArray, FloatArray]:
    """Lower and upper end of each opening on upright lines, shape (n, m) both, mm; NaN where the line misses it."""
    axes, radius = axis_points(openings), np.array([opening.diameter for opening in openings]) / 2
    up = _highest(x, axes, radius)
    down = -_highest(x, axes * (1.0, -1.0), radius)
    return down, up


def _highest(x: FloatArray, axes: FloatArray, radius: FloatArray) -> FloatArray:
    """Highest place of round-ended slots on upright lines, shape (n, m), mm; NaN beside them.

    Of all circles along the axis it is that whose highest place over x is tangent to the axis, or the end's.
    """
    (x0, y0), (dx, dy) = axes[:, 0].T, (axes[:, 1] - axes[:, 0]).T
    past, length = x[:, None] - x0, np.hypot(dx, dy)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        tangent = past / dx + radius * dy / (np.abs(dx) * length)
    # An upright axis has its highest circle at its upper end, over every x.
    way = np.where(dx == 0, dy > 0, np.clip(tangent, 0.0, 1.0))
    beside = past - way * dx
    with np.errstate(invalid="ignore"):
        return np.asarray(y0 + way * dy + np.sqrt(radius**2 - beside**2))


def _stretches(
    x: FloatArray, lower: FloatArray, upper: FloatArray, openings: Sequence[Opening]
) -> tuple[FloatArray, FloatArray]:
    """Stretches of steel between openings on upright lines, lower and upper ends, shape (n, m + 1), mm.

    Some are of no length.
    """
    low, high = lower[:, None], upper[:, None]
    down, up = (np.clip(np.where(np.isnan(end), high, end), low, high) for end in chords(x, openings))
    order = np.argsort(down, axis=1, kind="stable")
    down, up = (np.take_along_axis(end, order, axis=1) for end in (down, up))
    starts = np.concatenate([low, np.maximum.accumulate(up, axis=1)], axis=1)
    ends = np.concatenate([down, high], axis=1)
    return starts, np.maximum(starts, ends)


def cutting(x: float, openings: Sequence[Opening]) -> npt.NDArray[np.bool_]:
    """Which openings an upright line goes through, shape (m,)."""
    down, up = chords(np.array([x]), openings)
    return np.asarray((up > down)[0])
