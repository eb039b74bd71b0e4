"""The blade template: what a maker glues on the bar."""

from __future__ import annotations

import math
from collections.abc import Iterator

from bladegeom.curves.build import arc, line
from bladegeom.curves.curve import FloatArray, Vector, join
from bladegeom.cutfile.scribe_lines import scribe_lines
from bladegeom.drawing.drawing import (
    CUT_PEN,
    LEADER_PEN,
    ROUGH_PEN,
    SMALL_TEXT,
    THIN_PEN,
    Circle,
    Drawing,
    Item,
    Label,
    Layer,
    Path,
)
from bladegeom.grinding.grind_line import grind_line
from bladegeom.holes.cut_holes import CutHole, cut_holes
from bladegeom.knife.grind import Flank
from bladegeom.knife.knife import Knife
from bladegeom.mass.unweighed import unweighed, without_words
from bladegeom.mass.weigh import weigh
from bladegeom.quantities.balance_bands import as_on_a_finger
from bladegeom.sheets.names import name_labels, own_mark
from bladegeom.sheets.net_section_chart import net_section_mark
from bladegeom.sheets.notes import notes_below
from bladegeom.sheets.zone_marks import zone_marks

_MARK_RADIUS = 1.8
"""Of a balance mark, mm; less where two marks would overlap."""

_MARK_LEAST = 0.5
"""Where they would have to be smaller still, the second mark is a dot."""


def template_drawing(knife: Knife, *, face: Flank | None = None, short: bool = False) -> Drawing:
    """Outline, grind line, plunge line, handle front, holes with diameters, balance points; design frame.

    Args:
        knife: The design.
        face: The one face that it is for, mirrored where that is the left one; None shows what either carries, as
            seen on the right one.
        short: Holes with their names alone.
    """
    holes = [item for hole in cut_holes(knife) for item in hole_mark(hole)]
    items = [
        *balance_marks(knife),
        *scribe_lines(knife, face),
        *rough_line(knife, face),
        *holes,
        *zone_marks(knife, face),
        *notes_below(knife, short=short),
    ]
    items.append(Path(layer="CUT", curve=knife.outline.loop, closed=True, pen=CUT_PEN))
    items += net_section_mark(knife, items)
    items += name_labels(knife, items)
    drawing = Drawing(name=knife.name, items=(*items, *own_mark(knife, items, f"{face.upper()} FACE" if face else "")))
    return drawing.mirrored() if face == "left" else drawing


def is_handed(knife: Knife) -> bool:
    """Whether the faces differ, so that each needs a template of its own."""
    return knife.grind.only is not None or any(len(zone.flanks) == 1 for zone in knife.zones)


def rough_line(knife: Knife, face: Flank | None = None) -> Iterator[Item]:
    """The grind line of the rough grind, dotted: what is ground while the template is on the steel goes no higher."""
    for row in grind_line(knife, "rough", face or knife.grind.only or "right"):
        yield Path(layer="MARK", curve=line(*_vectors(row)), pen=ROUGH_PEN)


def hole_mark(cut: CutHole) -> Iterator[Item]:
    """A hole's border at its finished size, with a cross and a dot for the punch at each end of its axis."""
    hole = cut.opening
    layer: Layer = "CUT" if cut.finish == "cut" else "DRILL"
    ends = dict.fromkeys((x, y) for x, y in hole.axis.tolist())
    if len(ends) == 1:
        yield Circle(layer=layer, x=hole.x, y=hole.y, radius=hole.diameter / 2, pen=CUT_PEN)
    else:
        yield Path(layer=layer, curve=hole.outline, closed=True, pen=CUT_PEN)
    arm = hole.diameter / 2 + 1.0
    for x, y in ends:
        yield Path(layer="MARK", curve=line((x - arm, y), (x + arm, y)), pen=THIN_PEN)
        yield Path(layer="MARK", curve=line((x, y - arm), (x, y + arm)), pen=THIN_PEN)
        yield Circle(layer="MARK", x=x, y=y, radius=0.3, filled=True)


def balance_marks(knife: Knife) -> Iterator[Item]:
    """Balance points with and without the lightening holes, each told from the handle front at the spine."""
    weighing = weigh(knife)
    rows, left_out = [(*weighing.total.centre[:2], "balance")], without_words(unweighed(knife))
    if weighing.by_lightening.amount:
        rows.append((*weighing.without_lightening.centre[:2], "balance without lightening holes"))
    apart = math.dist(rows[0][:2], rows[-1][:2]) if len(rows) > 1 else math.inf
    radius = min(_MARK_RADIUS, 0.48 * apart)
    dot = radius < _MARK_LEAST
    radius = _MARK_RADIUS if dot else radius
    top = max(1.0, knife.outline.bounds[3]) + 3.0
    # The foremost has the lowest text, so that no leader runs through the other's text.
    for row, (x, y, name) in enumerate(sorted(rows, key=lambda mark: -mark[0])):
        main = name == "balance"
        if dot and not main:
            yield Circle(layer="NOTE", x=x, y=y, radius=0.25, pen=THIN_PEN, filled=True)
        else:
            yield from balance_mark(x, y, radius, filled=main)
        height = top + row * (SMALL_TEXT + 1.4)
        yield Path(layer="NOTE", curve=line((x, y), (x, height + 0.8)), pen=LEADER_PEN)
        text = f"{name} {as_on_a_finger(x)}{left_out}"
        yield Label(layer="NOTE", x=x + 1.0, y=height, text=text, height=SMALL_TEXT)


def balance_mark(x: float, y: float, r: float, *, filled: bool) -> Iterator[Item]:
    """A circle with a cross, two of its quarters filled or none."""
    yield Circle(layer="NOTE", x=x, y=y, radius=r, pen=THIN_PEN)
    for start in (0.0, 180.0) if filled else ():
        rim = arc((x, y), r, start, 90.0)
        wedge = join(line((x, y), rim.start), rim, line(rim.end, (x, y)))
        yield Path(layer="NOTE", curve=wedge, closed=True, pen=THIN_PEN, filled=True)
    yield Path(layer="NOTE", curve=line((x - r, y), (x + r, y)), pen=THIN_PEN)
    yield Path(layer="NOTE", curve=line((x, y - r), (x, y + r)), pen=THIN_PEN)


def _vectors(row: FloatArray) -> list[Vector]:
    return [(float(x), float(y)) for x, y in row]
