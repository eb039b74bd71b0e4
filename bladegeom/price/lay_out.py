"""How many bars, sheets and rods of a size a number of pieces takes, and what is left of the last one."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from bladegeom.fasteners.stack_parts import SAW_CUT
from bladegeom.handle.scale_blank import SlabBlank
from bladegeom.price.bill import BarBlank, RodPieces
from bladegeom.price.price_items import BarPrice, RodPrice, Sawing, SheetPrice

_FITS = 1e-9
"""A piece that is too long by less than this fits, mm: a rounding error of the arithmetic."""


@dataclass(frozen=True, kw_only=True)
class StockUse:
    """What pieces take of stock of one size.

    Args:
        whole: Bars, sheets or rods to have.
        share: Of one, that is used up, sawing counted.
        remnant: Length left of the last one, mm; of a sheet None.
    """

    whole: int
    share: Fraction
    remnant: float | None


def of_bars(blank: BarBlank, pieces: int, bar: BarPrice, saw: Sawing) -> StockUse | None:
    """Blanks end to end on bars, a kerf between two, both ends of each bar trimmed; None where none fits."""
    free = bar.length - 2 * saw.end_trim
    on_one = _times(free, blank.length, saw.kerf)
    if not on_one or blank.height > bar.height + _FITS:
        return None
    whole = math.ceil(pieces / on_one)
    on_last = pieces - (whole - 1) * on_one
    taken = pieces * (blank.length + saw.kerf) + 2 * saw.end_trim * whole
    return StockUse(
        whole=whole,
        # The last piece on a full bar needs no kerf behind it.
        share=min(_exact(taken) / _exact(bar.length), Fraction(whole)),
        remnant=max(0.0, free - on_last * (blank.length + saw.kerf)),
    )


def of_sheets(blank: SlabBlank, pieces: int, sheet: SheetPrice, saw: Sawing) -> StockUse | None:
    """Pieces in rows and columns, the grain along the sheet; None where none fits."""
    on_one = _times(sheet.length, blank.length, saw.kerf) * _times(sheet.width, blank.width, saw.kerf)
    if not on_one:
        return None
    return StockUse(whole=math.ceil(pieces / on_one), share=Fraction(pieces, on_one), remnant=None)


def of_rods(pieces: RodPieces, rod: RodPrice) -> StockUse | None:
    """Pieces, longest first, each on the first rod that has room, a saw cut behind each; None where one is too long."""
    left: list[float] = []
    for length in sorted(pieces.lengths, reverse=True):
        if length > rod.length + _FITS:
            return None
        _place(left, length, rod.length)
    return StockUse(
        whole=len(left),
        share=min(_exact(pieces.whole) / _exact(rod.length), Fraction(len(left))),
        remnant=max(0.0, left[-1]),
    )


def _place(left: list[float], length: float, whole: float) -> None:
    for i, room in enumerate(left):
        if length <= room + _FITS:
            left[i] = room - length - SAW_CUT
            return
    left.append(whole - length - SAW_CUT)


def _times(room: float, piece: float, kerf: float) -> int:
    return max(0, int((room + kerf + _FITS) // (piece + kerf)))


def _exact(mm: float) -> Fraction:
    """To a millionth of a millimetre, so that a sum worked by hand agrees to the last coin."""
    return Fraction(round(mm * 10**6), 10**6)
