"""Notes under the steel: what each hole is, and where handle front and plunge line begin."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely

from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve, Vector
from bladegeom.drawing.drawing import LEADER_PEN, SMALL_TEXT, Item, Label, Path
from bladegeom.holes.cut_holes import cut_holes
from bladegeom.knife.hole import Made, Opening
from bladegeom.knife.knife import Knife
from bladegeom.quantities.tolerances import JOINED
from bladegeom.quantities.units import show_length

_PITCH = 2.9
"""Least distance between the base lines of two notes, mm."""

_GAP = 2.5
"""From the steel to the notes, mm."""

_BEND = 1.5
"""Least height of the bend between a leader's column and its note, mm."""

_FREE = 0.6
"""A leader keeps this far from other holes and from other leaders, mm."""


@dataclass(frozen=True, kw_only=True)
class _Note:
    """A text and its leader: from a start, level to a column, and down."""

    text: str
    start: Vector
    column: float


def notes_below(knife: Knife, *, short: bool = False) -> Iterator[Item]:
    """Upright notes, each on a leader from its place, pushed apart where they would overlap.

    Args:
        knife: The design.
        short: Names alone, where the sizes of the holes stand elsewhere.
    """
    notes = sorted(_notes(knife, short=short), key=lambda note: note.column)
    for group, places in _apart(notes):
        columns = [note.column for note in group]
        steel = _lowest_steel(knife, min(columns[0], places[0]), max(columns[-1], places[-1]))
        # The farther a leader must go aside, the higher its bend, so that neighbours stay apart to the eye.
        bend = max(_BEND, *(abs(at - column) / 5 for at, column in zip(places, columns, strict=True)))
        # A hole may lie, by mistake, below the steel.
        top = min(steel, *(note.start[1] for note in group)) - _GAP + _BEND - bend
        for note, at in zip(group, places, strict=True):
            yield Path(layer="NOTE", curve=_leader(note, at, top, bend), pen=LEADER_PEN)
            yield Label(
                layer="NOTE",
                x=at + 0.35 * SMALL_TEXT,
                y=top - 0.6,
                text=note.text,
                height=SMALL_TEXT,
                angle_deg=90.0,
                anchor="end",
            )


def hole_words(knife: Knife) -> tuple[str, ...]:
    """What each hole is, by its name."""
    return tuple(f"{hole.name} {_size(hole.opening, hole.finish)}" for hole in cut_holes(knife))


def _notes(knife: Knife, *, short: bool) -> Iterator[_Note]:
    columns: list[float] = []
    for text, (x, y) in (("handle front", knife.handle_front.end), ("plunge line", knife.plunge_line.start)):
        columns.append(x)
        yield _Note(text=text, start=(x, y), column=x)
    for cut_hole in sorted(cut_holes(knife), key=lambda cut_hole: cut_hole.opening.y):
        hole, name = cut_hole.opening, cut_hole.name
        x = _column(hole, [other for other in knife.openings if other is not hole], columns)
        columns.append(x)
        yield _Note(text=name if short else f"{name} {_size(hole, cut_hole.finish)}", start=_leaving(hole, x), column=x)


def _column(hole: Opening, others: list[Opening], taken: list[float]) -> float:
    """The x nearest to the hole's middle at which a leader runs down clear of other holes and other leaders."""
    for step in range(200):
        for x in (hole.x + step * _FREE / 2, hole.x - step * _FREE / 2):
            way = shapely.LineString([(hole.x, hole.y), (x, hole.y), (x, hole.y - 1000.0)])
            clear = all(shapely.LineString(o.axis).distance(way) > o.diameter / 2 + _FREE for o in others)
            if clear and all(abs(x - other) > _FREE for other in taken):
                return x
    return hole.x


def _leaving(hole: Opening, column: float) -> Vector:
    """Where the leader leaves the rim: below, on its column, or beside."""
    rim = shapely.LineString(hole.axis).buffer(hole.diameter / 2)
    below = rim.intersection(shapely.LineString([(column, hole.y), (column, hole.y - 1000.0)]))
    if not below.is_empty:
        return column, float(below.bounds[1])
    x0, _, x1, _ = rim.bounds
    beside = rim.intersection(shapely.LineString([(x0, hole.y), (x1, hole.y)]))
    return float(beside.bounds[2] if column > hole.x else beside.bounds[0]), hole.y


def _leader(note: _Note, at: float, top: float, bend: float) -> Curve:
    """Down the column to just above the text, then to it."""
    way, y = [note.start], note.start[1]
    for place in ((note.column, y), (note.column, top + bend), (at, top)):
        if math.dist(place, way[-1]) > JOINED:
            way.append(place)
    return line(*way)


def _size(hole: Opening, made: Made) -> str:
    (x0, y0), (x1, y1) = hole.axis.tolist()
    way = math.hypot(x1 - x0, y1 - y0)
    if not way:
        return f"dia. {show_length(hole.diameter)}, {made}"
    return f"slot {show_length(hole.diameter)} wide, {show_length(way + hole.diameter)} long, {made}"


def _lowest_steel(knife: Knife, x0: float, x1: float) -> float:
    """Lower border of the steel between two x, a little widened."""
    points = np.asarray(knife.outline.polygon.exterior.coords)
    near = points[(points[:, 0] > x0 - 3.0) & (points[:, 0] < x1 + 3.0), 1]
    _, lower = knife.outline.tang_height(np.array([x0, x1]))
    # A hole may lie, by mistake, where there is no steel.
    return float(np.concatenate([near, lower[np.isfinite(lower)]]).min(initial=knife.outline.bounds[3]))


def _apart(notes: list[_Note]) -> Iterator[tuple[list[_Note], list[float]]]:
    """Neighbours that would overlap as groups, with their places: a pitch apart, about the middle of their columns."""
    groups: list[list[_Note]] = []
    for note in notes:
        group = [note]
        while groups and _middle(group) - _middle(groups[-1]) < _PITCH * (len(group) + len(groups[-1])) / 2:
            group = groups.pop() + group
        groups.append(group)
    for group in groups:
        first = _middle(group) - _PITCH * (len(group) - 1) / 2
        yield group, [first + i * _PITCH for i in range(len(group))]


def _middle(group: list[_Note]) -> float:
    return sum(note.column for note in group) / len(group)
