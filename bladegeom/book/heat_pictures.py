"""Pictures of steps in the heat: foil, plates, the blade that hangs in oil; the bow that is measured."""

from __future__ import annotations

from collections.abc import Iterator

from bladegeom.book.sketch import (
    DASHED,
    PICTURE,
    arrow,
    brought,
    fitting,
    rectangle,
    shape,
    span_across,
    span_upright,
    stroke,
    words,
)
from bladegeom.curves.build import spline
from bladegeom.curves.curve import rotation
from bladegeom.drawing.drawing import Drawing, Item, Path
from bladegeom.drawing.type_sizes import FINISHED_PEN, HEAVY_PEN, LEADING, TEXT
from bladegeom.quantities.shown import caliper_length, room_to_buy
from bladegeom.workshop.heat_treat import TANK_ROOM, HeatTreatCard
from bladegeom.workshop.heat_work import WARP
from bladegeom.workshop.operation import Operation
from bladegeom.workshop.route import Route


def heat_picture(work: Route, _operation: Operation) -> Iterator[Item]:
    """What the blade lies or hangs in."""
    card = work.card
    if card is None:
        return
    if card.in_oil:
        yield from _oil(card)
    elif card.treatment.plates:
        plates = Drawing(name="", items=tuple(_plates(card)))
        yield from plates.items
        if card.treatment.sheath:
            yield from _foil(card, plates.bounds[3] + 1.0)
    elif card.treatment.sheath:
        yield from _foil(card, 0.0)


def _oil(card: HeatTreatCard) -> Iterator[Item]:
    """A vessel, the blade in it tip down, oil above and below it."""
    height = 52.0
    by = height / card.tank_depth
    outline = card.knife.outline
    wide = max(16.0, by * card.height + 8.0)
    yield stroke((0.0, height), (0.0, 0.0), (wide, 0.0), (wide, height), pen=HEAVY_PEN)
    level = by * card.oil_depth
    yield stroke((0.0, level), (wide, level), pen=DASHED)
    _, y0, x1, y1 = outline.bounds
    hanging = outline.loop.transformed(rotation(-90.0))
    yield shape(brought(hanging, by).moved(wide / 2 - by * (y0 + y1) / 2, by * (TANK_ROOM + x1)))
    yield from span_upright(wide + 4.0, 0.0, level)
    room = room_to_buy(TANK_ROOM).first
    for y, text in (
        (height - TEXT, "vessel, depth inside"),
        (height - TEXT * (1 + LEADING), room_to_buy(card.tank_depth).first),
        (level - 2.6 * TEXT * LEADING, "oil, depth"),
        (level - 3.6 * TEXT * LEADING, room_to_buy(card.oil_depth).first),
        (TEXT * LEADING + 0.8, f"{room} above, below,"),
        (0.8, "and free on top"),
    ):
        yield words(wide + 7.0, y, text, "start")


def _plates(card: HeatTreatCard) -> Iterator[Item]:
    """The blade seen from its spine between two plates."""
    plates = card.plates
    by = PICTURE / plates.length
    thick = max(by * plates.thickness, 3.0)
    gap = max(by * card.knife.stock.thickness, 1.0)
    for low in (0.0, thick + gap):
        yield rectangle(0.0, low, PICTURE, thick, FINISHED_PEN)
    x0 = by * (plates.length - card.length) / 2
    yield rectangle(x0, thick, by * card.length, gap, HEAVY_PEN)
    middle, top = PICTURE / 2, 2 * thick + gap
    long = caliper_length(plates.length) if card.work.plates else room_to_buy(plates.length)
    yield from arrow((middle, top + 6.0), (middle, top))
    yield words(middle + 2.5, top + 2.4, "clamp at once", "start")
    yield from span_across(0.0, PICTURE, -2.2, f"plates {long}")


def _foil(card: HeatTreatCard, low: float) -> Iterator[Item]:
    """The sheet folded along the spine round the blade, and its seams."""
    length, sheet = card.foil
    by = fitting((0.0, 0.0, length, sheet / 2), PICTURE, 24.0)
    wide, high = by * length, by * sheet / 2
    base = low + TEXT * LEADING + 1.0
    x0, _, _, y1 = card.knife.outline.bounds
    seam = by * (length - card.length) / 2
    yield rectangle(0.0, base, wide, high, FINISHED_PEN)
    yield stroke((seam * 0.65, base + high), (seam * 0.65, base + seam * 0.65), pen=DASHED)
    yield stroke((wide - seam * 0.65, base + high), (wide - seam * 0.65, base + seam * 0.65), pen=DASHED)
    yield stroke((seam * 0.65, base + seam * 0.65), (wide - seam * 0.65, base + seam * 0.65), pen=DASHED)
    yield shape(brought(card.knife.outline.loop, by).moved(seam - by * x0, base + high - 0.8 - by * y1))
    yield words(wide / 2, base + high + 1.0, "folded here, along the spine")
    yield words(wide / 2, low + 1.0, "three sides folded twice")


def bow_picture(_work: Route, _operation: Operation) -> Iterator[Item]:
    """The blade on a flat plate, its bow made large."""
    yield stroke((0.0, 0.0), (PICTURE, 0.0), pen=HEAVY_PEN)
    bowed = spline(((2.0, 0.0), (PICTURE / 2, 4.0), (PICTURE - 2.0, 0.0)))
    yield Path(layer="NOTE", curve=bowed, pen=FINISHED_PEN)
    yield Path(layer="NOTE", curve=bowed.moved(0.0, 1.4), pen=FINISHED_PEN)
    yield from span_upright(PICTURE / 2, 0.0, 4.0)
    yield words(PICTURE / 2, -TEXT * LEADING - 4.0, f"bow at most {caliper_length(WARP)}")
