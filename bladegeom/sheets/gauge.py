"""Cards to cut out, with a notch that the blade's edge goes into: go, and no go."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve
from bladegeom.drawing.drawing import CUT_PEN, SMALL_TEXT, Drawing, Item, Label, Path
from bladegeom.grinding.grind_sheet import GrindSheet
from bladegeom.grinding.station import Station
from bladegeom.knife.knife import Knife
from bladegeom.knife.revision_id import revision_id
from bladegeom.quantities.lettering import text_width, wrapped
from bladegeom.quantities.shown import caliper_length, scribed_length
from bladegeom.quantities.units import show_length
from bladegeom.sheets.section import face_of

CARD = (34.0, 12.0)
"""Width of a card, and what stands under the notch, mm."""

TOLERANCE = 0.1
"""The go notch is wider than the blade by this on each side, the no-go notch narrower, mm; own choice."""

_SCISSORS, _FOUND = 0.3, 0.5
"""How true scissors cut a card, and the step that is surely found with it, mm; common practice, no source."""

_SAME = 0.02
"""Cards whose lines lie no farther apart are one, mm: a printer's dot is wider."""

_LEAST = 1.3
"""Height of the smallest letters on a card, mm."""

_STEP = 0.25

_TEXT_WIDTH = CARD[0] - 3.0
"""Room for a line of text on a card, mm."""


def gauge_notes(sheet: GrindSheet) -> Iterator[str]:
    """How the cards are used, a line each."""
    yield "Cut out on the line, or glue to card first."
    yield "Hold a card square to the edge at its station, edge into the notch."
    by = caliper_length(TOLERANCE).first
    yield f"GO ({by} wider a side) must take the edge to the bottom; NO GO ({by} narrower) must not."
    yield cut_by_hand()
    if sheet.knife.grind.only:
        yield "One side only is ground: hold the card with its print towards the handle."


def cut_by_hand() -> str:
    """How far a card is to be trusted that was cut out by hand."""
    return (
        f"Scissors cut to about {show_length(_SCISSORS)}: a card finds a step of {show_length(_FOUND)}, not one of "
        f"{show_length(TOLERANCE)}; measure what is finer."
    )


def name_on_card(knife: Knife) -> str:
    """Whose cards they are: a name that is too long to be read is cut, what tells the knives apart stands over it."""
    if text_width(knife.name, _LEAST) <= _TEXT_WIDTH:
        return knife.name
    return f"{wrapped(knife.name, _LEAST, _TEXT_WIDTH - text_width(' ...', _LEAST))[0]} ..."


def gauges(sheet: GrindSheet, state: str, knife: Knife) -> Iterator[Drawing]:
    """A pair of cards for the first station and for the middle one; one pair where the same would do for both.

    Args:
        sheet: Of the blade as it is ground when the cards are held to it.
        state: How far that is, in words.
        knife: Whose cards they are.
    """
    stations = [s for s in sheet.stations if s.grind_line is not None] or list(sheet.stations)
    first, other = stations[0], stations[len(stations) // 2]
    pairs = ((first, other),) if _are_alike(sheet.knife, first, other) else ((first,), (other,))
    for alike in dict.fromkeys(pairs):
        for go in (True, False):
            deep = f"notch {scribed_length(_deep(alike[0]))}"
            words = deep, f"{state}, {revision_id(knife)}", name_on_card(knife)
            yield Drawing(name=state, items=tuple(gauge(sheet.knife, *dict.fromkeys(alike), go=go, words=words)))


def _are_alike(knife: Knife, station: Station, other: Station) -> bool:
    """Whether scissors cannot tell their cards apart."""
    a, b = (card_outline(knife, each, go=True).pieces for each in (station, other))
    return a.shape == b.shape and bool(np.abs(a - b).max() < _SAME)


def gauge(knife: Knife, station: Station, *others: Station, go: bool, words: Sequence[str] = ()) -> Iterator[Item]:
    """A card for one station of the finished blade, its lower left corner at the origin.

    The blade goes edge first into the go card until the edge touches the bottom of the notch. Into the no-go card it
    does not go so far.

    Args:
        knife: The design.
        station: Where the card is held against the blade, square to the edge.
        others: Where the same card does.
        go: Which of the two cards.
        words: Lines below its own name.
    """
    width, below = CARD
    yield Path(layer="CUT", curve=card_outline(knife, station, go=go), closed=True, pen=CUT_PEN)
    places = " and ".join(scribed_length(each.x).first for each in (station, *others))
    lines = (f"{'GO' if go else 'NO GO'}  x {places}", *words)
    small = min([0.8 * SMALL_TEXT, *(_TEXT_WIDTH / text_width(text, 1.0) for text in words)])
    for i, text in enumerate(lines):
        size = small if i else min(SMALL_TEXT, _TEXT_WIDTH / text_width(text, 1.0, bold=True))
        low = below - 1.8 * SMALL_TEXT - i * 1.2 * SMALL_TEXT
        yield Label(layer="NOTE", x=width / 2, y=low, text=text, height=size, anchor="middle", bold=i == 0)


def _deep(station: Station) -> float:
    """Of its notch: up to the grind line, or to the spine where that comes first, mm."""
    return station.reach if station.grind_line is None else min(station.grind_line, station.reach)


def card_outline(knife: Knife, station: Station, *, go: bool) -> Curve:
    """The card's border with its notch, lower left corner at the origin, mm."""
    width, below = CARD
    deep = _deep(station)
    allow = TOLERANCE if go else -TOLERANCE
    d = np.linspace(0.0, deep, max(2, round(deep / _STEP) + 1))
    right = face_of(knife, station, "finished", "right", d) + allow
    left = -face_of(knife, station, "finished", "left", d) - allow
    # Where the no-go notch would close, it comes to a point and ends.
    closed = np.flatnonzero(right <= left)
    if len(closed):
        d, right, left = (values[closed[-1] :] for values in (d, right, left))
        right[0] = left[0] = (right[0] + left[0]) / 2
    middle = width / 2
    top = below + deep
    notch = [(middle + z, below + v) for z, v in zip(right[::-1].tolist(), d[::-1].tolist(), strict=True)]
    notch += [(middle + z, below + v) for z, v in zip(left.tolist(), d.tolist(), strict=True)]
    corners = [(0.0, 0.0), (width, 0.0), (width, top), *notch, (0.0, top), (0.0, 0.0)]
    kept = [corners[0]]
    kept += [p for p, q in zip(corners[1:], corners[:-1], strict=True) if abs(p[0] - q[0]) + abs(p[1] - q[1]) > 1e-5]
    return line(*kept)
