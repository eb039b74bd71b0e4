"""Cards to cut out that go over one side of the finished handle."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from shapely import Polygon

from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve
from bladegeom.drawing.drawing import CUT_PEN, SMALL_TEXT, Item, Label, Path
from bladegeom.handle.section import HandleSection
from bladegeom.knife.knife import Knife
from bladegeom.knife.revision_id import revision_id
from bladegeom.quantities.lettering import wrapped
from bladegeom.quantities.shown import caliper_length, rule_length
from bladegeom.sheets.gauge import TOLERANCE, cut_by_hand

EAR = 7.0
"""Width of the card beside the notch, over the top and over the underside, mm."""

BELOW = 15.0
"""What stands under the notch, mm: four lines of text."""

_LINES = (4.4, 2.8, 2.0)
"""From the notch to the first line, from line to line, and from the last line to the border at least, mm."""

_STRAIGHT = 1e-3
"""Corners of a card that a straight line passes nearer than this are left out, mm."""


def handle_gauge_notes() -> tuple[str, ...]:
    """How the cards are used, a line each."""
    return (
        "GO cards: cut out on the line, or glue to card first.",
        "Hold a card square to the handle at its station, on the right scale, and turn it over for the left one: its "
        "ears end at the middle of the tang.",
        f"It must go on until its ears reach that far; {caliper_length(TOLERANCE)} of play are in it. Where it stops "
        "on the scale, some is left to take; where light shows, too much is gone.",
        cut_by_hand(),
    )


def handle_gauge(knife: Knife, section: HandleSection, number: int) -> Iterator[Item]:
    """A card for the right half of one section, underside to the left, its lower left corner at the origin.

    Args:
        knife: The design.
        section: Of the finished handle.
        number: Of the station.
    """
    width, top = card_size(section)
    yield Path(layer="CUT", curve=gauge_outline(section), closed=True, pen=CUT_PEN)
    high, wide = caliper_length(section.height).first, caliper_length(section.width).first
    sizes = f"{high} high, {wide} wide, girth {rule_length(section.girth).first}"
    room, small = width - 3.0, 0.8 * SMALL_TEXT
    lines = [f"GO {number}, x {rule_length(section.x).first}"]
    lines += [part for text in (sizes, f"{knife.name}, {revision_id(knife)}") for part in wrapped(text, small, room)]
    first, pitch, last = _LINES
    pitch = min(pitch, (BELOW - first - last) / (len(lines) - 1))
    for i, text in enumerate(lines):
        yield Label(
            layer="NOTE",
            x=width / 2,
            y=BELOW - first - i * pitch,
            text=text,
            height=min(SMALL_TEXT if i == 0 else small, pitch / 1.4),
            anchor="middle",
            bold=i == 0,
        )
    for text, middle in (("under", EAR / 2), ("top", width - EAR / 2)):
        yield Label(layer="NOTE", x=middle, y=top - 3.0, text=text, height=0.8 * SMALL_TEXT, anchor="middle")


def card_size(section: HandleSection) -> tuple[float, float]:
    """Width and height of a card, mm."""
    return section.height + 2 * (TOLERANCE + EAR), BELOW + section.width / 2 + TOLERANCE


def gauge_outline(section: HandleSection) -> Curve:
    """The card's border with its notch, lower left corner at the origin, mm: the tang's middle plane is its top."""
    width, top = card_size(section)
    way, z = section.half.T
    half = np.stack([EAR + TOLERANCE + way, top - z], axis=1)
    # The handle goes on beyond the middle plane, so that the notch is open there.
    beyond = top + 10 * TOLERANCE
    handle = Polygon([(half[0, 0], beyond), *half, (half[-1, 0], beyond)])
    notch = handle.buffer(TOLERANCE, join_style="mitre")
    card = shapely.simplify(shapely.difference(shapely.box(0.0, 0.0, width, top), notch), _STRAIGHT)
    return line(*[(float(a), float(b)) for a, b in shapely.get_coordinates(shapely.orient_polygons(card))])
