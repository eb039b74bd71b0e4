"""Whether the lines are fair: waves, flat spots, leaps of the bend and kinks that nobody draws on purpose."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from typing import Final

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curvature import ChainJoint, Course, courses, joints
from bladegeom.curves.curve import Curve, FloatArray, Vector, join, points
from bladegeom.curves.inflection import Bend, bends
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.knife.rule import Code, rule
from bladegeom.outline.outline import Outline
from bladegeom.quantities.tolerances import SMOOTH_DEG
from bladegeom.quantities.units import show_length, show_place

WAVE_DEG: Final = 1.5
"""A bend the other way that turns by less is taken for a slip; own choice by eye: the weakest that the profiles draw
on purpose turns by 2 degrees."""

SEEN: Final = 0.03
"""Rise of a wave over its chord, or what a flat spot lacks, that an eye along the line or a thumb finds, mm; own choice
by eye."""

KINK_DEG: Final = 2.0
"""A corner of less is taken for two lines that were meant to be tangent; own choice by eye."""

LEAP: Final = 0.02
"""Leap of the curvature at a tangent joint that shows in the reflection, 1/mm: as from straight to a radius of 50 mm;
own choice by eye."""

ROUNDED: Final = 1 / 35
"""What bends more is a rounded corner, drawn on purpose, 1/mm; own choice by eye."""

_LEAD: Final = 20.0
"""So far beside a rounded corner a line may be straighter than beyond, mm; own choice by eye."""

_FLAT: Final = 0.3
"""A flat spot bends less than this part of what the line bends on both sides of it; own choice by eye."""

_LONGEST: Final = 30.0
"""A stretch that hardly bends over more than this is a line drawn so, not a spot, mm; own choice by eye."""

_STRAIGHT: Final = 1e-6
"""Curvature of a line that is drawn straight, 1/mm."""

_FAIR: Final = ("edge", "line of spine and handle top", "handle underside")

_SOURCE = "own choice by eye"


@rule(
    Code("wave", ("note",), "a line bends the other way for a short stretch"),
    Code("kink", ("warning",), "two lines meet at an angle too small to be a corner"),
    Code("curvature-leap", ("note",), "the bend of a line changes at once"),
    Code("flat-spot", ("note",), "a line hardly bends between two bends to the same side"),
)
def check_fairness(knife: Knife) -> Iterator[Finding]:
    """All findings about unfair lines along edge, spine and handle."""
    for name, curve in fair_lines(knife.outline).items():
        meeting = joints(curve)
        yield from _waves(name, curve)
        yield from _kinks(name, meeting, concave=knife.shop.smallest_inside_radius <= 0)
        yield from _leap(name, meeting)
    for name in ("edge", "spine", "handle top", "handle underside"):
        yield from _flat_spots(name, course_along(knife, name))


def fair_lines(outline: Outline) -> dict[str, Curve]:
    """Lines along which an eye or a thumb runs in one go, by their names."""
    lines = outline.edge, join(outline.spine, outline.handle_top), outline.handle_underside
    return dict(zip(_FAIR, lines, strict=True))


def course_along(knife: Knife, name: str) -> Course:
    """Curvature along a fair line, or along one of the outline's curves, by its name in words."""
    return _courses(knife)[_READ.index(name)]


_READ: Final = (*_FAIR, "spine", "handle top")


@memo
def _courses(knife: Knife) -> tuple[Course, ...]:
    """Along each of them."""
    outline = knife.outline
    return courses((*fair_lines(outline).values(), outline.spine, outline.handle_top))


def _waves(name: str, curve: Curve) -> Iterator[Finding]:
    """Weak bends beside others; those that follow each other are one wave."""
    every = bends(curve, SMOOTH_DEG)
    for weak, group in itertools.groupby(every, key=lambda bend: abs(bend.turn_deg) < WAVE_DEG):
        run = list(group)
        if not weak or len(every) == 1:
            continue
        highest = max(run, key=lambda bend: _rise(curve, bend))
        rise = _rise(curve, highest)
        if rise < SEEN:
            continue
        x, y = _at(curve, (highest.start + highest.end) / 2)
        a, b = _at(curve, run[0].start), _at(curve, run[-1].end)
        yield Finding(
            code="wave",
            severity="note",
            part="blade",
            message=(
                f"the {name} has a wave at {show_place(x, y)}: it bends the other way by {abs(highest.turn_deg):.1f} "
                f"degrees, {show_length(rise)} out of straight over {show_length(math.dist(a, b))}; leave a knot out "
                "there, or move it by as much"
            ),
            measured=abs(highest.turn_deg),
            limit=WAVE_DEG,
            source=_SOURCE,
            x=x,
            y=y,
        )


def _rise(curve: Curve, bend: Bend) -> float:
    """How far a weak bend stands out from its chord, mm."""
    a, b = points(curve, [bend.start, bend.end])
    p = points(curve, np.linspace(bend.start, bend.end, 17))
    chord = (b - a) / max(float(np.hypot(*(b - a))), 1e-12)
    return float(np.abs((p - a) @ np.array([-chord[1], chord[0]])).max())


def _kinks(name: str, meeting: tuple[ChainJoint, ...], *, concave: bool) -> Iterator[Finding]:
    """Corners too blunt to be meant; those that point inwards are errors of their own where the shop has a limit."""
    for joint in meeting:
        size = abs(joint.turn_deg)
        if not SMOOTH_DEG <= size < KINK_DEG or (joint.turn_deg < 0 and not concave):
            continue
        x, y = joint.xy
        yield Finding(
            code="kink",
            severity="warning",
            part="blade",
            message=(
                f"the {name} has a kink of {size:.2g} degrees at {show_place(x, y)}, too little for a corner; give "
                "both lines one direction there"
            ),
            measured=size,
            limit=KINK_DEG,
            source=_SOURCE,
            x=x,
            y=y,
        )


def _leap(name: str, meeting: tuple[ChainJoint, ...]) -> Iterator[Finding]:
    """The greatest leap of the curvature at a tangent joint."""
    tangent = [j for j in meeting if abs(j.turn_deg) < SMOOTH_DEG and _is_leap(j)]
    if not tangent:
        return
    joint = max(tangent, key=lambda j: abs(j.after - j.before))
    leap = abs(joint.after - joint.before)
    x, y = joint.xy
    way = " the other way" if joint.before * joint.after < 0 else ""
    yield Finding(
        code="curvature-leap",
        severity="note",
        part="blade",
        message=(
            f"the {name} goes from {_bent(joint.before)} to {_bent(joint.after)}{way} at {show_place(x, y)} at once: "
            "the reflection breaks there; a spline through the place goes over gradually"
        ),
        measured=leap,
        limit=LEAP,
        source=_SOURCE,
        x=x,
        y=y,
    )


def _is_leap(joint: ChainJoint) -> bool:
    rounded = max(abs(joint.before), abs(joint.after)) > ROUNDED
    return abs(joint.after - joint.before) >= LEAP and not rounded


def _bent(curvature: float) -> str:
    return "straight" if abs(curvature) < 1e-4 else f"a radius of {show_length(1 / abs(curvature))}"


def _flat_spots(name: str, c: Course) -> Iterator[Finding]:
    """Stretches that hardly bend between two that bend the same way, away from rounded corners."""
    corners = np.concatenate([[-np.inf], c.along[np.abs(c.bend) > ROUNDED], [np.inf]])
    i = np.searchsorted(corners[1:-1], c.along)
    away = np.minimum(c.along - corners[i], corners[i + 1] - c.along) > _LEAD
    for side in (1.0, -1.0):
        k = side * c.bend
        for a, b in _runs((k > -_STRAIGHT) & away):
            yield from _flat_in(name, c, k[a:b], a)


def _flat_in(name: str, c: Course, k: FloatArray, first: int) -> Iterator[Finding]:
    peak = np.minimum(np.maximum.accumulate(k), np.maximum.accumulate(k[::-1])[::-1])
    for i, j in _runs(k < _FLAT * peak):
        if k[i:j].max() < _STRAIGHT:
            continue  # drawn straight on purpose
        a, b = first + i, first + j - 1
        long = float(c.along[b] - c.along[a])
        lack = float(peak[i:j].min()) * long**2 / 8
        if lack < SEEN or long > _LONGEST:
            continue
        x, y = (float(v) for v in c.xy[(a + b) // 2])
        yield Finding(
            code="flat-spot",
            severity="note",
            part="blade",
            message=(
                f"the {name} has a flat spot of {show_length(long)} at {show_place(x, y)} between two bends to the "
                f"same side; move it {show_length(lack)} outwards, or leave a knot out"
            ),
            measured=lack,
            limit=SEEN,
            source=_SOURCE,
            x=x,
            y=y,
        )


def _runs(mask: npt.NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Start and end of each stretch of true values."""
    if not mask.any():
        return []
    edges = np.flatnonzero(np.diff(np.concatenate([[0], mask.astype(np.int8), [0]])))
    return [(int(i), int(j)) for i, j in edges.reshape(-1, 2)]


def _at(curve: Curve, t: float) -> Vector:
    x, y = points(curve, t)[0]
    return float(x), float(y)
