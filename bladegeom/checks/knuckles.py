"""Room for the knuckles between handle and board, on blades whose heel hangs so low that they are used on one."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bladegeom.curves.bounding_box import bounding_box
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length

_DEEP, _DEEP_SHARE = 15.0, 0.8
"""A board blade's heel hangs below the handle's underside by a finger's thickness, mm, and by so much of the steel's
height at the handle front; own choice."""

_LONG, _LOWER, _THIN = 120.0, 1.0, 3.2
"""Its edge is at least so long along x and nowhere so much lower than its heel, and its stock at most so thick, mm;
own choice: hunters and choppers are none."""

ROOM, AMPLE = 40.0, 45.0
"""Height of the heel below the spine that clears small and large knuckles, mm; common practice, no source."""


@rule(
    Code("knuckles", ("note",), "used on a board, the knuckles strike it"),
    Code("knuckles-large-hand", ("note",), "used on a board, the knuckles of a large hand strike it"),
)
def check_knuckles(knife: Knife) -> Iterator[Finding]:
    """What the heel of a board blade lacks in height."""
    outline = knife.outline
    x, low = outline.heel
    room = outline.front_bottom[1] - low
    if not _for_a_board(knife, room):
        return
    height = float(outline.tang_height(np.array([x + SHOP]))[0][0]) - low
    if height >= AMPLE - SHOP:
        return
    short = height < ROOM - SHOP
    least = ROOM if short else AMPLE
    whose = "knuckles strike" if short else "the knuckles of a large hand strike"
    yield Finding(
        code="knuckles" if short else "knuckles-large-hand",
        severity="note",
        part="blade",
        message=(
            f"used on a board, {whose} it: the heel is {show_length(height)} high, and {ROOM:g} to {AMPLE:g} mm are "
            f"common; below the handle there are {show_length(room)} for the fingers. Make the blade "
            f"{show_length(least - height)} higher with the handle as it is, or do not use the heel on a board"
        ),
        measured=height,
        limit=least,
        source="common practice, no source",
        x=x,
        y=low,
    )


def _for_a_board(knife: Knife, room: float) -> bool:
    outline = knife.outline
    (x, low), deepest = outline.heel, bounding_box(outline.edge.pieces)[1]
    deep = room >= max(_DEEP, -_DEEP_SHARE * outline.front_bottom[1])
    thin = knife.stock.thickness <= _THIN + SHOP
    return deep and thin and outline.tip[0] - x >= _LONG and low - deepest <= _LOWER
