"""What the proof of a design shows: the side view in layers that a reader can hide, and sections of the handle."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve, FloatArray
from bladegeom.cutfile.scribe_lines import scribe_lines
from bladegeom.drawing.drawing import (
    CUT_PEN,
    LEADER_PEN,
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
from bladegeom.handle.section import HandleSection, handle_sections
from bladegeom.holes.cut_holes import cut_holes
from bladegeom.knife.knife import Knife
from bladegeom.knife.scale_face import ScaleFace
from bladegeom.quantities.units import show_mm
from bladegeom.sheets.curvature_comb import curvature_comb
from bladegeom.sheets.names import name_labels
from bladegeom.sheets.net_section_chart import net_section_mark
from bladegeom.sheets.notes import notes_below
from bladegeom.sheets.scale_sheet import marked_scale
from bladegeom.sheets.template import balance_marks, hole_mark, rough_line
from bladegeom.sheets.zone_marks import zone_marks

AREA_PEN = Pen(width=0.13, grey=0.88)
"""Of the area that the scales cover."""

METAL_PEN = Pen(width=0.13, grey=0.72)
"""Of the ends of the fasteners that show in a scale."""

_STRAIGHT = 0.003
"""A line this near to a straight one is drawn as one, mm: a fiftieth of the thinnest pen."""

_MANY = 24
"""Pieces of a curve above which it is thinned out."""

_APART = 9.0
"""Between two sections of the handle, mm."""


@dataclass(frozen=True, kw_only=True)
class ProofLayer:
    """Part of the side view that can be hidden.

    Args:
        key: Its name in a file, such as "cut-holes".
        title: What a reader calls it.
        items: What it shows, design frame.
        shown: Whether it shows until a reader hides it.
    """

    key: str
    title: str
    items: tuple[Item, ...]
    shown: bool = True


def side_view(knife: Knife) -> tuple[ProofLayer, ...]:
    """The blade as on the template, in the order in which the layers lie on each other; empty ones are left out."""
    cut, drilled = (tuple(_holes(knife, made)) for made in ("cut", "drilled"))
    scribed = (*scribe_lines(knife), *rough_line(knife), *zone_marks(knife))
    balance = tuple(balance_marks(knife))
    outline: tuple[Item, ...] = (Path(layer="CUT", curve=knife.outline.loop, closed=True, pen=CUT_PEN),)
    notes = tuple(notes_below(knife))
    # In the template's order: names keep clear of everything drawn before them.
    drawn = [*balance, *scribed, *cut, *drilled, *notes, *outline]
    notes += net_section_mark(knife, drawn)
    notes += name_labels(knife, [*drawn, *notes])
    layers = (
        ProofLayer(key="handle", title="Handle", items=tuple(_handle(knife))),
        ProofLayer(key="scribe", title="Scribe lines and zones", items=scribed),
        ProofLayer(key="drilled", title="Holes to drill", items=drilled),
        ProofLayer(key="cut", title="Holes cut with the outline", items=cut),
        ProofLayer(key="outline", title="Outline", items=outline),
        ProofLayer(key="balance", title="Balance", items=balance),
        ProofLayer(key="notes", title="Names and notes", items=notes),
        ProofLayer(key="comb", title="Curvature comb", items=curvature_comb(knife.outline), shown=False),
    )
    return tuple(layer for layer in layers if layer.items)


@dataclass(frozen=True, kw_only=True)
class HandleViews:
    """What shows a handle with scales.

    Args:
        scale: The right scale, seen from its outside.
        sections: Of the finished handle side by side, top upwards, right scale to the right; none of a stub.
    """

    scale: tuple[Item, ...]
    sections: tuple[Item, ...]


def handle_views(knife: Knife) -> HandleViews | None:
    """The views of the handle; None on a bare tang."""
    face = knife.scale_face
    if face is None:
        return None
    return HandleViews(scale=marked_scale(knife, "right"), sections=_row(knife, face, handle_sections(knife)))


def _row(knife: Knife, face: ScaleFace, sections: Sequence[HandleSection]) -> tuple[Item, ...]:
    items: list[Item] = []
    left = 0.0
    for number, section in enumerate(sections, start=1):
        middle = left + section.width / 2
        items += Drawing(name="", items=tuple(_section(knife, face, section))).moved(middle, 0.0).items
        for low, text in ((-SMALL_TEXT - 2.0, str(number)), (-2 * SMALL_TEXT - 3.2, f"x {show_mm(section.x)}")):
            items.append(Label(layer="NOTE", x=middle, y=low, text=text, height=SMALL_TEXT, anchor="middle"))
        left += section.width + _APART
    return tuple(items)


def thinned(items: Sequence[Item]) -> tuple[Item, ...]:
    """The same with lines of many short pieces drawn by as few as look alike."""
    return tuple(
        dataclasses.replace(item, curve=_thin(item.curve))
        if isinstance(item, Path) and len(item.curve) > _MANY and _is_straight(item.curve)
        else item
        for item in items
    )


def _holes(knife: Knife, made: str) -> Iterator[Item]:
    for hole in cut_holes(knife):
        if (hole.finish == "cut") == (made == "cut"):
            yield from hole_mark(hole)


def _handle(knife: Knife) -> Iterator[Item]:
    """The scale's border as a faint area, and the ends of the fasteners that show in its outside."""
    if knife.scales is None:
        return
    yield Path(layer="NOTE", curve=knife.handle_loop, closed=True, pen=AREA_PEN, filled=True)
    for stack in stacks(knife):
        open_bores = [cut.bore.diameter for cut in stack.cuts if cut.bore.layer == "scale" and cut.face != "inside"]
        x, y = stack.layers.fastener.x, stack.layers.fastener.y
        for i, diameter in enumerate(sorted(set(open_bores), reverse=True)):
            yield Circle(layer="NOTE", x=x, y=y, radius=diameter / 2, pen=METAL_PEN, filled=i == 0)
            yield Circle(layer="NOTE", x=x, y=y, radius=diameter / 2, pen=THIN_PEN)


def _section(knife: Knife, face: ScaleFace, section: HandleSection) -> Iterator[Path]:
    """Outside in a heavy line; the tang, and the liners where there are any, in thin ones."""
    up, half = section.half[:, 0], section.half[:, 1]
    x = section.foot[0] + (section.low + up) * section.up[0]
    tang, inside = knife.stock.half_thickness(x), face.inside(x)
    for heights in (tang, inside) if (inside > tang).any() else (tang,):
        for side in (1.0, -1.0):
            yield Path(layer="NOTE", curve=_through(np.stack([side * heights, up], axis=1)), pen=LEADER_PEN)
    loop = np.concatenate([np.stack([half, up], axis=1), np.stack([-half, up], axis=1)[::-1]])
    yield Path(layer="NOTE", curve=_through(np.concatenate([loop, loop[:1]])), closed=True, pen=CUT_PEN)


def _is_straight(curve: Curve) -> bool:
    """Whether every piece of a curve is a straight line from end to end."""
    p = curve.pieces
    chord = p[:, 3] - p[:, 0]
    off = [np.abs(chord[:, 0] * (p[:, i, 1] - p[:, 0, 1]) - chord[:, 1] * (p[:, i, 0] - p[:, 0, 0])) for i in (1, 2)]
    return bool(np.max(off) <= 1e-9 * np.abs(p).max() ** 2)


def _thin(curve: Curve) -> Curve:
    return _through(np.concatenate([curve.pieces[:, 0], curve.pieces[-1:, 3]]))


def _through(places: FloatArray) -> Curve:
    thin = shapely.get_coordinates(shapely.simplify(shapely.LineString(places), _STRAIGHT))
    return line(*((float(x), float(y)) for x, y in thin))
