"""How wide a round hole may be at a place: what each rule leaves, one by one."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, reduce

import numpy as np
import shapely

from bladegeom.curves.curve import FloatArray
from bladegeom.curves.polyline import Polyline
from bladegeom.holes.clearance import behind_front
from bladegeom.knife.hole import Opening, axis_points
from bladegeom.knife.knife import Knife
from bladegeom.knife.rules import HoleRules
from bladegeom.placing.net_width import WidthLeft
from bladegeom.quantities.errors import PlacingError
from bladegeom.quantities.tolerances import CHORD
from bladegeom.quantities.units import show_length, show_mm

RESERVE = 2 * CHORD
"""Kept in hand against the polygon's own tolerance, so that the exact check agrees."""

_FINE = 0.01
"""Edge distances from a table are looked up for diameters this far apart, mm."""

RULES = {
    "web": "the web to the other holes",
    "strip": "the clear strip behind the handle front",
    "rim": "the rim to the outline",
    "edge": "the edge distance",
    "width": "the net width",
}
"""Fields of the limits, in trade words; of two that stop a hole alike the first is told."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Limits:
    """Largest radius that each rule allows at n places, every array of shape (n,), mm; negative where none is.

    Args:
        border: Distance to the outline less what is kept in hand, mm; negative outside the steel.
        rim: By the rim to the outline.
        edge: By the edge distance.
        strip: By the clear strip behind the handle front.
        web: By the web to other holes.
        width: By the net width.
    """

    border: FloatArray
    rim: FloatArray
    edge: FloatArray
    strip: FloatArray
    web: FloatArray
    width: FloatArray

    @property
    def room(self) -> FloatArray:
        """By all of them."""
        return self.without("")

    def without(self, rule: str) -> FloatArray:
        """By all but one, which is named by its field."""
        return reduce(np.minimum, (getattr(self, name) for name in RULES if name != rule))


def width_limits(knife: Knife, xy: FloatArray, others: Sequence[Opening] | None = None) -> Limits:
    """What the rules allow at places (n, 2) beside some openings; None takes all that the knife has."""
    return beside(knife, border_limits(knife, xy), xy, knife.openings if others is None else others)


def border_limits(knife: Knife, xy: FloatArray) -> Limits:
    """What outline and handle front allow at places (n, 2); nothing else stops a hole."""
    rules = knife.rules
    ring = np.asarray(knife.outline.polygon.exterior.coords)
    away = Polyline(ring).distances(xy[:, 0], xy[:, 1])
    border = np.where(shapely.contains_xy(knife.outline.polygon, xy[:, 0], xy[:, 1]), away, -away) - RESERVE
    free = np.full(len(xy), np.inf)
    return Limits(
        border=border,
        rim=border - rules.least_rim(knife.stock.thickness),
        edge=widest_by_edge(rules, border) / 2,
        strip=behind_front(knife, xy) - rules.clear_strip,
        web=free,
        width=free,
    )


def beside(
    knife: Knife, alone: Limits, xy: FloatArray, others: Sequence[Opening], width: WidthLeft | None = None
) -> Limits:
    """The limits of places with what some openings leave; the tang in strips with the same, if it is there already."""
    strips = WidthLeft.of(knife, others) if width is None else width
    return dataclasses.replace(alone, web=_by_web(knife, xy, others), width=strips.room(xy[:, 0]))


def _by_web(knife: Knife, xy: FloatArray, others: Sequence[Opening]) -> FloatArray:
    if not others:
        return np.full(len(xy), np.inf)
    web, out = knife.rules.least_web(knife.stock.thickness), np.full(len(xy), np.inf)
    # One by one: a table of all places by all openings of a long tang would fill the memory.
    for opening in others:
        np.minimum(out, _from_rim(xy, opening) - web - 1e-9, out=out)
    return out


def apart(xy: FloatArray, others: Sequence[Opening]) -> FloatArray:
    """Distance of n places to the rims of m openings, shape (n, m), mm; negative inside."""
    return np.stack([_from_rim(xy, opening) for opening in others], axis=1)


def _from_rim(xy: FloatArray, opening: Opening) -> FloatArray:
    """Distance of n places to the rim of an opening, shape (n,), mm; negative inside."""
    start, end = axis_points((opening,))[0]
    way, (past_x, past_y) = end - start, (xy - start).T
    if way.any():
        share = np.clip((past_x * way[0] + past_y * way[1]) / (way * way).sum(), 0.0, 1.0)
        past_x, past_y = past_x - share * way[0], past_y - share * way[1]
    return np.asarray(np.sqrt(past_x**2 + past_y**2) - opening.diameter / 2)


def widest_by_edge(rules: HoleRules, border: FloatArray) -> FloatArray:
    """Largest diameter whose edge distance is no more than a distance to the outline, each of shape (n,), mm."""
    if rules.edge_table is None:
        factor = rules.edge_distance_per_diameter
        return border / factor if factor > 0 else np.where(border > 0, np.inf, border)
    # A table has steps, so its distances are listed for all diameters that could come into question, and looked up.
    most = float(np.ceil(max(border.max(initial=0.0), 1.0)))
    needed = _edge_distances(rules, most)
    return np.asarray(np.where(border > 0, _FINE * np.searchsorted(needed, border, side="right"), border))


@cache
def _edge_distances(rules: HoleRules, most: float) -> FloatArray:
    """Edge distances of all diameters of whole hundredths, from the first to those whose distance is over some mm."""
    out = [rules.edge_distance(_FINE)]
    while out[-1] <= most:
        out.append(rules.edge_distance(_FINE * (len(out) + 1)))
    return np.array(out)


def rule_words(knife: Knife, rule: str, diameter: float) -> str:
    """What a rule asks of a hole of some diameter, in numbers."""
    rules, thickness = knife.rules, knife.stock.thickness
    return {
        "rim": f"{show_length(rules.least_rim(thickness))} of steel all round",
        "edge": f"{show_length(rules.edge_distance(diameter))} from the centre to the outline",
        "strip": f"{show_length(rules.clear_strip)} to the nearest rim",
        "web": f"{show_length(rules.least_web(thickness))} of steel between two",
        "width": f"{rules.net_width:.0%} of the tang's height to be left",
    }[rule]


@dataclass(frozen=True, kw_only=True)
class NoRoom:
    """Why a hole finds no place: the rule that leaves no room, the widest that it leaves room for, mm, in words."""

    rule: str
    widest: float
    words: str

    def error(self, what: str, diameter: float) -> PlacingError:
        """Told of what finds no place."""
        return PlacingError(f"{what}: {self.words}", value=diameter, limit=self.widest, rule=self.rule)


def no_room(knife: Knife, found: Limits, xy: FloatArray, diameter: float) -> NoRoom:
    """The rule without which there would be most room for a hole of some diameter, and the widest that would do."""
    # Without other holes nothing of theirs is missing from the tang's height either.
    alone = dataclasses.replace(found, width=WidthLeft.of(knife, ()).room(xy[:, 0]))
    without = {rule: float(np.nanmax((alone if rule == "web" else found).without(rule))) for rule in RULES}
    rule, room = max(RULES, key=lambda name: without[name]), found.room
    best = int(np.nanargmax(room))
    widest = max(2 * float(room[best]), 0.0)
    words = (
        f"{RULES[rule]} leaves room for {show_length(widest)} at most, near x {show_mm(xy[best, 0])} mm; the rule "
        f"asks for {rule_words(knife, rule, diameter)}"
    )
    return NoRoom(rule=rule, widest=widest, words=words)
