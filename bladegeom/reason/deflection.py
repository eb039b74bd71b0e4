"""How far a load at the butt bends the bare tang: a comparison between variants, never a promise of strength.

The tang is a cantilever clamped at the handle front. Scales and fasteners are not counted, nor what steel does near a
hole; load and elastic modulus cancel in a comparison.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bladegeom.body.hole import Opening
from bladegeom.body.knife import Knife
from bladegeom.curves.curve import FloatArray
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.units import show_mm
from bladegeom.reason.net_section import breaks, sections, tang_front

LOAD_AHEAD = 5.0
"""The load stands this far ahead of the butt's end, mm; own choice: an end that runs to a point bears nothing."""

_PANEL = 5.0
"""Widest panel of the integration, mm; more where holes begin and end."""

_GAUSS = np.polynomial.legendre.leggauss(12)


@dataclass(frozen=True, kw_only=True)
class Deflection:
    """How far the load's place moves, for a unit load and a unit elastic modulus, 1/mm; infinite where nothing holds.

    As a ratio of two variants, 1.1 means that the first bends by 10 % more.

    Args:
        sideways: Out of the blade's plane.
        edgewise: In the blade's plane.
    """

    sideways: float
    edgewise: float

    def over(self, other: Deflection) -> Deflection:
        """Of this as a multiple of another."""
        return Deflection(sideways=self.sideways / other.sideways, edgewise=self.edgewise / other.edgewise)


def deflection(knife: Knife) -> Deflection:
    """Of the finished tang with all its holes.

    Raises:
        ParameterError: The tang is too short to take the load behind the handle front.
    """
    return _deflection(knife, knife.openings)


def lightening_deflection(knife: Knife) -> Deflection:
    """How many times as far the tang bends as without its lightening holes; 1 without any.

    Raises:
        ParameterError: As of :func:`deflection`.
    """
    others = [one for one in knife.openings if one.purpose != "lightening"]
    return deflection(knife).over(_deflection(knife, others))


def _deflection(knife: Knife, openings: Sequence[Opening]) -> Deflection:
    """By the unit load method: the integral of moment squared over second moment, from the load to the clamp."""
    load, clamp = knife.outline.bounds[0] + LOAD_AHEAD, tang_front(knife)
    if not load < clamp:
        raise ParameterError(
            "tang: length", f"{show_mm(clamp - load + LOAD_AHEAD)} mm", f"be more than {LOAD_AHEAD:g} mm"
        )
    x, weight = _places(load, clamp, breaks(knife, openings))
    steel = sections(knife, x, openings)
    moment = weight * (x - load) ** 2
    with np.errstate(divide="ignore"):
        sideways, edgewise = (float((moment / i).sum()) for i in (steel.sideways_inertia, steel.edgewise_inertia))
    return Deflection(sideways=sideways, edgewise=edgewise)


def _places(start: float, end: float, between: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Places and weights of panels that end wherever a hole does, shape (n,) both, mm.

    At its rim a hole grows as the square root of the way; places by a cubic that is level at both ends of a panel make
    that smooth.
    """
    ends = np.unique(np.concatenate([[start, end], between[(between > start) & (between < end)]]))
    ends = ends[np.concatenate([[True], np.diff(ends) > 1e-9])]
    edges = np.concatenate(
        [np.linspace(a, b, int(np.ceil((b - a) / _PANEL)) + 1)[:-1] for a, b in itertools.pairwise(ends)]
    )
    width = np.diff(np.append(edges, end))[:, None]
    s = (_GAUSS[0] + 1) / 2
    x = edges[:, None] + width * s * s * (3 - 2 * s)
    weight = width * 6 * s * (1 - s) * _GAUSS[1] / 2
    return x.ravel(), np.broadcast_to(weight, x.shape).ravel()
