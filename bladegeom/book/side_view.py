"""The knife from its right side, as large as the page is wide, with what is measured on it at the bench."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from bladegeom.book.view_dimensions import heel_height, level_lengths
from bladegeom.book.view_frame import ViewFrame
from bladegeom.book.view_marks import MARK_ROW, ViewMark, mark_items, placed_marks
from bladegeom.curves.build import line
from bladegeom.drawing.drawing import CENTRE_PEN, CUT_PEN, SCRIBE_PEN, THIN_PEN, Item, Path
from bladegeom.drawing.type_sizes import FINISHED_PEN
from bladegeom.drilling.card import drill_card
from bladegeom.grinding.grind_line import grind_line
from bladegeom.grinding.grind_sheet import grind_sheet
from bladegeom.grinding.station import Station
from bladegeom.knife.knife import Knife
from bladegeom.mass.weigh import weigh
from bladegeom.sheets.template import balance_mark

MOST_NAMED: Final = 30
"""Places of holes that are named; own choice: more names than that cross each other."""

_BESIDE: Final = 7.0
"""Kept free to the right of the knife for the dimension of its height, mm."""

_BALANCE: Final = 1.7
"""Radius of the balance mark, mm."""

_BEYOND: Final = 4.0
"""By how much straightedge and square reach beyond the outline, mm."""

_CROSS: Final = 1.0
"""By how much a hole's cross reaches beyond its rim, mm."""


def dimensioned_view(
    knife: Knife, stations: Mapping[int, Station], left: float, right: float, most: float
) -> Iterator[Item]:
    """The view between two borders of the page, the knife's lowest place at height 0.

    Args:
        knife: The design.
        stations: Where it is cut, by their numbers.
        left: Left border, mm.
        right: Right border, mm.
        most: Height that the knife itself may take, mm.
    """
    frame = ViewFrame(knife=knife, left=left, right=right, before=_BEYOND, beside=_BESIDE, most=most)
    yield from _steel(frame)
    yield from _holes(frame)
    if knife.openings:
        yield from _datum(frame)
    yield from _cuts(frame, stations.values())
    x, y, _ = weigh(knife).total.centre
    yield from balance_mark(*frame.place(x, y), _BALANCE, filled=True)
    placed = placed_marks(tuple(_marks(frame, stations)), left, right)
    yield from mark_items(placed, frame.top)
    yield from heel_height(frame, frame.top + MARK_ROW * (2 + max(mark.row for mark in placed)))
    yield from level_lengths(frame)


def _steel(frame: ViewFrame) -> Iterator[Item]:
    knife = frame.knife
    yield Path(layer="NOTE", curve=frame.curve(knife.outline.loop), closed=True, pen=FINISHED_PEN)
    rows = grind_line(knife, "finished", grind_sheet(knife).flank)
    edges = (line(*((float(x), float(y)) for x, y in row)) for row in rows)
    for curve in (knife.plunge_line, *edges):
        yield Path(layer="NOTE", curve=frame.curve(curve), pen=SCRIBE_PEN)
    yield Path(layer="NOTE", curve=frame.curve(knife.handle_front), pen=CUT_PEN)


def _holes(frame: ViewFrame) -> Iterator[Item]:
    for opening in frame.knife.openings:
        yield Path(layer="NOTE", curve=frame.curve(opening.outline), closed=True, pen=CUT_PEN)
        arm = frame.scale * opening.diameter / 2 + _CROSS
        for at in dict.fromkeys((x, y) for x, y in opening.axis.tolist()):
            x, y = frame.place(*at)
            yield Path(layer="NOTE", curve=line((x - arm, y), (x + arm, y)), pen=THIN_PEN)
            yield Path(layer="NOTE", curve=line((x, y - arm), (x, y + arm)), pen=THIN_PEN)


def _datum(frame: ViewFrame) -> Iterator[Item]:
    """Straightedge and square from which the holes are told."""
    datum = drill_card(frame.knife).datum
    (x, y), (ax, ay), (ox, oy) = frame.place(*datum.corner), datum.along, datum.off
    long = frame.scale * datum.touches[1] + _BEYOND
    tall = frame.scale * datum.touches_square + _BEYOND
    for (dx, dy), reach in (((ax, ay), long), ((ox, oy), tall)):
        ends = line((x - _BEYOND * dx, y - _BEYOND * dy), (x + reach * dx, y + reach * dy))
        yield Path(layer="NOTE", curve=ends, pen=CENTRE_PEN)


def _cuts(frame: ViewFrame, stations: Iterable[Station]) -> Iterator[Item]:
    for station in stations:
        ends = line(frame.place(*station.foot), frame.place(*station.top))
        yield Path(layer="NOTE", curve=ends, pen=THIN_PEN)


def _marks(frame: ViewFrame, stations: Mapping[int, Station]) -> Iterator[ViewMark]:
    """What is named over the view, from the left."""
    card = drill_card(frame.knife)
    datum = card.datum
    named = card.places[:MOST_NAMED]
    holes = [ViewMark(place=frame.place(*datum.place(place.along, place.off)), text=place.name) for place in named]
    cuts = [ViewMark(place=frame.place(*station.top), text=f"{i}", ringed=True) for i, station in stations.items()]
    x, y, _ = weigh(frame.knife).total.centre
    balance = ViewMark(place=frame.place(x, y), text="balance")
    plunge = ViewMark(place=frame.place(*frame.knife.plunge_line.end), text="plunge")
    yield from sorted((*holes, balance, plunge, *cuts), key=lambda mark: mark.place)
