"""The steel seen from the right-hand face at true size, on the straightedge and the square that holes are told from."""

from __future__ import annotations

import dataclasses
import itertools
from collections.abc import Iterator

import shapely

from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve, FloatArray
from bladegeom.curves.flatten import flatten
from bladegeom.drawing.drawing import CENTRE_PEN, CUT_PEN, LEADER_PEN, SMALL_TEXT, THIN_PEN, Circle, Item, Label, Path
from bladegeom.drilling.card import DrillCard
from bladegeom.quantities.tolerances import CHORD

WIDEST = 228.0
"""The view is cut off ahead of this far from the square, mm: what a page of A4 or Letter holds beside the bars."""

_BEYOND = 3.0
"""By how much straightedge and square reach beyond the outline, mm."""

_CROSS = 1.0
"""By how much a centre's cross reaches beyond the rim, mm."""


def drill_view(card: DrillCard) -> Iterator[Item]:
    """Outline, holes with their names, straightedge and square; the corner of the two at the origin."""
    datum, up = card.datum, -1.0 if card.datum.side == "spine" else 1.0
    dx, dy = datum.along
    cx, cy = datum.corner
    # A turn and a shift: the straightedge lies along x, and nothing is mirrored.
    matrix = [[dx, dy, -(cx * dx + cy * dy)], [-dy, dx, cx * dy - cy * dx]]
    yield from _outline(card.knife.outline.loop.transformed(matrix))
    yield Path(layer="NOTE", curve=card.knife.handle_front.transformed(matrix), pen=THIN_PEN)
    reach = min(WIDEST, max(datum.touches[1], datum.measure(*card.knife.outline.tip)[0]) + _BEYOND)
    tall = max(datum.measure(*place)[1] for place in flatten(card.knife.outline.loop, 0.1).tolist())
    yield Path(layer="NOTE", curve=line((-_BEYOND, 0.0), (reach, 0.0)), pen=CENTRE_PEN)
    yield Path(layer="NOTE", curve=line((0.0, -up * _BEYOND), (0.0, up * (tall + _BEYOND))), pen=CENTRE_PEN)
    for touch in datum.touches:
        if touch <= WIDEST:
            yield Circle(layer="NOTE", x=touch, y=0.0, radius=0.4, filled=True)
    yield from _holes(card, up, matrix)
    yield from _names(card, up, tall)
    above = 1.2 if up < 0 else -1.2 - SMALL_TEXT
    yield Label(layer="NOTE", x=2.0, y=above, text="straightedge; square at its left end", height=SMALL_TEXT)


def _outline(loop: Curve) -> Iterator[Path]:
    if loop_right(loop) <= WIDEST:
        yield Path(layer="NOTE", curve=loop, closed=True, pen=CUT_PEN)
        return
    x0, y0, _, y1 = shapely.LineString(flatten(loop, CHORD)).bounds
    ring = shapely.LineString(flatten(loop, CHORD))
    cut = shapely.line_merge(ring.intersection(shapely.box(x0 - 1.0, y0 - 1.0, WIDEST, y1 + 1.0)))
    for part in shapely.get_parts(cut):
        yield Path(layer="NOTE", curve=_line(shapely.get_coordinates(part)), pen=CUT_PEN)


def loop_right(loop: Curve) -> float:
    """Greatest x of a curve, mm."""
    return float(flatten(loop, CHORD)[:, 0].max())


def _line(places: FloatArray) -> Curve:
    return line(*((float(x), float(y)) for x, y in places))


def _holes(card: DrillCard, up: float, matrix: list[list[float]]) -> Iterator[Item]:
    for opening in card.knife.openings:
        yield Path(layer="NOTE", curve=opening.outline.transformed(matrix), closed=True, pen=CUT_PEN)
    for place in card.places:
        x, y, arm = place.along, up * place.off, place.diameter / 2 + _CROSS
        yield Path(layer="NOTE", curve=line((x - arm, y), (x + arm, y)), pen=THIN_PEN)
        yield Path(layer="NOTE", curve=line((x, y - arm), (x, y + arm)), pen=THIN_PEN)


def _names(card: DrillCard, up: float, tall: float) -> Iterator[Item]:
    """In a row on the far side of the outline, each on a leader from its centre, pushed apart."""
    row = up * (tall + 2 * _BEYOND)
    low = row + 0.8 if up > 0 else row - 0.8 - SMALL_TEXT
    places = sorted(card.places, key=lambda place: (place.along, place.off))
    names = [Label(layer="NOTE", x=0.0, y=low, text=place.name, height=SMALL_TEXT, anchor="middle") for place in places]
    for place, name, at in zip(places, names, _apart([place.along for place in places], names), strict=True):
        yield Path(layer="NOTE", curve=line((place.along, up * place.off), (at, row)), pen=LEADER_PEN)
        yield dataclasses.replace(name, x=at)


def _apart(wanted: list[float], names: list[Label]) -> list[float]:
    """Places for names near those wanted, in their order: half way between pushing all right and pushing all left."""
    free = [(a.width + b.width) / 2 + _SPACE for a, b in itertools.pairwise(names)]
    right, left = wanted[:1], wanted[-1:]
    for at, room in zip(wanted[1:], free, strict=True):
        right.append(max(at, right[-1] + room))
    for at, room in zip(wanted[-2::-1], free[::-1], strict=True):
        left.append(min(at, left[-1] - room))
    half_way = [(a + b) / 2 for a, b in zip(right, left[::-1], strict=True)]
    # So many that they would stand out to the left go right instead, where the blade takes up the width anyhow.
    out = max(0.0, names[0].width / 2 - _BEYOND - half_way[0])
    return [at + out for at in half_way]


_SPACE = 1.2
"""Between two names, mm."""
