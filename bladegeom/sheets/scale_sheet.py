"""Templates to glue on slabs and sheets: a right scale, a left scale, and the liner.

Each scale is drawn as it is seen from its own outside, and its print is glued on the outside face. So right and left
cannot be taken for each other on the slabs; the border, the line where the rounding begins and the countersinks lie on
the face where they are worked; and the grain that shows is the grain that is chosen. No pattern is printed for the
inside. It would be the other scale's outside, which is how two right scales come about; and none is needed: through
holes are drilled from the inside with the finished tang as a jig, and pockets are centred on them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Literal

import shapely
from shapely import LineString, Point
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve, Vector
from bladegeom.curves.flatten import flatten
from bladegeom.drawing.drawing import (
    CUT_PEN,
    LEADER_PEN,
    SCRIBE_PEN,
    SMALL_TEXT,
    THIN_PEN,
    Circle,
    Drawing,
    Item,
    Label,
    Path,
    Pen,
)
from bladegeom.fasteners.stack import stacks
from bladegeom.handle.parts import bare_holes
from bladegeom.handle.scale_blank import blanks, cut_out, vectors
from bladegeom.handle.section import HandleSection, handle_sections
from bladegeom.knife.grind import Flank
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.knife.scales import Scales
from bladegeom.quantities.tolerances import CHORD
from bladegeom.sheets.scale_marks import flat_named, grained
from bladegeom.sheets.scale_words import hand_of, lettered, piece_lines

SAW_PEN = Pen(width=0.35)
"""Of the line to saw along."""

FLAT_PEN = Pen(width=0.18, dashes=(0.25, 1.0), grey=0.35)
"""Of the line where the rounding ends and the flat begins."""

INSIDE_PEN = Pen(width=0.13, dashes=(0.7, 0.7))
"""Of what is sunk from the inside, and so does not show."""

_TICK = 1.8
"""Length of a station's tick inside the handle's border, and outside the cut-out, mm."""

_NARROW = 4.0
"""Where the flat is narrower its line is left out, mm; own choice: a shop sees no flat there."""

_CORNER = 1.0
"""By how much a right-angled corner lies outside its rounding by half of that, mm: 0.83, and a little."""

_SHORT = 8.0
"""A shorter piece of that line is left out, mm; own choice: it reads as a stray dash."""

_OFF_HOLES = 1.2
"""That line keeps so far off holes, mm: what their crosses reach beyond the rims, and a little."""

_FACETS = 32
"""Chords to a quarter circle of the line where the rounding begins."""


def scale_piece(knife: Knife, scales: Scales, side: Flank, sections: Sequence[HandleSection]) -> Drawing:
    """One scale seen from its outside: cut-out, finished border, front, holes, and where the rounding begins.

    The right one lies as in the design frame, its front to the right; the left one is its mirror image.

    Args:
        knife: The design.
        scales: Its scales.
        side: Which of them.
        sections: Of the finished handle, marked on the border with their numbers.
    """
    drawn = [*_outline(knife, scales), *_flat(knife, scales), *_holes(knife), *_ticks(scales, sections)]
    lines = piece_lines(knife, f"{side.upper()} SCALE, outside up", "other face: INSIDE, to the tang")
    name = f"{knife.name}: {side} scale"
    items = [*_seen(drawn, side), *_numbers(scales, side, sections)]
    marks = [item for item in items if isinstance(item, Path) and item.pen == FLAT_PEN]
    written = flat_named(marks, lettered(knife, items, side, lines))
    return Drawing(name=name, items=tuple(grained(knife, written, side, _grain(knife))))


@memo
def marked_scale(knife: Knife, side: Flank) -> tuple[Item, ...]:
    """A scale with the stations of the finished handle on it; nothing on a bare tang."""
    if knife.scales is None:
        return ()
    return scale_piece(knife, knife.scales, side, handle_sections(knife)).items


def liner_piece(knife: Knife, scales: Scales) -> Drawing:
    """The liner, for both sides: the pair is cut together."""
    items = [*_outline(knife, scales), *_through(knife, "liner")]
    last = "glued on, drilled with the scale" if scales.glued_liners else "one each side of the tang"
    lines = piece_lines(knife, "LINER, cut two together", last)
    return Drawing(name=f"{knife.name}: liner", items=tuple(lettered(knife, items, "right", lines)))


def _outline(knife: Knife, scales: Scales) -> Iterator[Item]:
    yield Path(layer="CUT", curve=cut_out(knife, scales), closed=True, pen=SAW_PEN)
    if scales.overhang:
        yield Path(layer="MARK", curve=_border(knife), pen=SCRIBE_PEN)


def _border(knife: Knife) -> Curve:
    """Top, butt and underside of the finished handle."""
    return Curve(knife.handle_loop.pieces[len(knife.handle_front) :])


def _flat(knife: Knife, scales: Scales) -> Iterator[Item]:
    """Where the rounding from the border and from the front begins; nothing where no flat is left."""
    widths = [max((rounding.width for rounding in scales.roundings), default=0.0)]
    widths.append(scales.front_rounding.width if scales.front_rounding else 0.0)
    flat: BaseGeometry = knife.handle_region
    for curve, width in zip((_border(knife), knife.handle_front), widths, strict=True):
        if width:
            near = LineString(flatten(curve, CHORD)).buffer(width, quad_segs=_FACETS)
            flat = shapely.difference(flat, near)
    # So much wider than an opening's round corners that the flat's own corners stay in it.
    wide = flat.buffer(-_NARROW / 2).buffer(_NARROW / 2 + _CORNER)
    # Where one of them is not rounded, the flat runs on to it, and that line is drawn already.
    beside = shapely.union_all([knife.handle_region.boundary.buffer(CHORD), _worked(knife)])
    inner = flat.boundary.intersection(wide).difference(beside)
    lines = shapely.get_parts(inner)
    merged = shapely.line_merge(shapely.multilinestrings(lines[shapely.get_type_id(lines) == 1]))
    for run in shapely.get_parts(merged):
        if run.length >= _SHORT:
            places = vectors(shapely.get_coordinates(shapely.simplify(run, CHORD)))
            yield Path(layer="MARK", curve=line(*places), pen=FLAT_PEN)


def _worked(knife: Knife) -> BaseGeometry:
    """Round everything that is bored into a scale."""
    at = [(stack.layers.fastener, stack.layers.widest / 2) for stack in stacks(knife)]
    discs = [Point(fastener.x, fastener.y).buffer(radius + _OFF_HOLES) for fastener, radius in at]
    holes = [LineString(hole.axis).buffer(hole.diameter / 2 + _OFF_HOLES) for hole in bare_holes(knife)]
    return shapely.union_all([*discs, *holes])


def _grain(knife: Knife) -> float:
    """Direction of the grain on a right scale, degrees."""
    return next(blank.grain_deg for blank in blanks(knife) if blank.part == "scales")


def _holes(knife: Knife) -> Iterator[Item]:
    for stack in stacks(knife):
        for cut in stack.cuts:
            if cut.face is not None:
                pen = INSIDE_PEN if cut.face == "inside" else THIN_PEN
                x, y, radius = stack.layers.fastener.x, stack.layers.fastener.y, cut.bore.diameter / 2
                yield Circle(layer="MARK", x=x, y=y, radius=radius, pen=pen)
    yield from _through(knife, "scale")


def _through(knife: Knife, layer: Literal["scale", "liner"]) -> Iterator[Item]:
    """Through holes of a layer, each with a cross and a dot for the punch."""
    for stack in stacks(knife):
        x, y = stack.layers.fastener.x, stack.layers.fastener.y
        drilled = [cut.bore for cut in stack.cuts if cut.bore.layer == layer and cut.face is None]
        for bore in drilled:
            yield Circle(layer="DRILL", x=x, y=y, radius=bore.diameter / 2, pen=CUT_PEN)
            yield from _cross(x, y, bore.diameter / 2 + 1.0)
    for hole in bare_holes(knife):
        yield Path(layer="DRILL", curve=hole.outline, closed=True, pen=CUT_PEN)
        for x, y in dict.fromkeys(vectors(hole.axis)):
            yield from _cross(x, y, hole.diameter / 2 + 1.0)


def _cross(x: float, y: float, arm: float) -> Iterator[Item]:
    yield Path(layer="MARK", curve=line((x - arm, y), (x + arm, y)), pen=THIN_PEN)
    yield Path(layer="MARK", curve=line((x, y - arm), (x, y + arm)), pen=THIN_PEN)
    yield Circle(layer="MARK", x=x, y=y, radius=0.3, filled=True)


def _ticks(scales: Scales, sections: Sequence[HandleSection]) -> Iterator[Item]:
    """Where the stations of the sections cross the border."""
    for section in sections:
        for end, out in _tick_ends(section):
            inner, outer = ((end[0] + way * out[0], end[1] + way * out[1]) for way in (-_TICK, scales.overhang + _TICK))
            yield Path(layer="NOTE", curve=line(inner, outer), pen=LEADER_PEN)


def _tick_ends(section: HandleSection) -> tuple[tuple[Vector, Vector], ...]:
    """Underside and top of a section, each with the way out."""
    (low, high), (ux, uy) = section.ends, section.up
    return (low, (-ux, -uy)), (high, (ux, uy))


def _seen(items: Iterable[Item], side: Flank) -> list[Item]:
    """From the outside of a side."""
    return list(items) if side == "right" else [_mirrored(item) for item in items]


def _mirrored(item: Item) -> Item:
    if isinstance(item, Path):
        return replace(item, curve=item.curve.transformed([[-1.0, 0.0, 0.0], [0.0, 1.0, 0.0]]))
    return replace(item, x=-item.x)


def _numbers(scales: Scales, side: Flank, sections: Sequence[HandleSection]) -> Iterator[Item]:
    """Of the stations, above the piece."""
    away = scales.overhang + _TICK + 0.6
    for number, section in enumerate(sections, start=1):
        (x, y), (ux, uy) = _tick_ends(section)[1]
        at = hand_of(side) * (x + away * ux)
        yield Label(layer="NOTE", x=at, y=y + away * uy, text=str(number), height=SMALL_TEXT, anchor="middle")
