"""What is measured on a mark at true size."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from bladegeom.knife.zone import MarkZone
from bladegeom.marking.islands import islands
from bladegeom.marking.mark_region import shape_of
from bladegeom.marking.thin_places import least_gap, least_line


@dataclass(frozen=True, kw_only=True)
class MarkNumbers:
    """A mark as measured. Lengths in mm.

    Args:
        line: Width of its thinnest line.
        gap: Width of the narrowest gap between lines; None where there is none.
        islands: Pieces that would fall out if it were cut through.
        area: That it covers, mm2.
        volume: That it takes out, mm3.

    >>> from bladegeom import MarkZone
    >>> zone = MarkZone(x=20.0, y=-4.0, width=12.0, height=4.0, text="BO", made="laser", depth=0.1)
    >>> found = mark_numbers(zone)
    >>> found.islands, round(found.line, 1)
    (3, 0.2)
    """

    line: float
    gap: float | None
    islands: int
    area: float
    volume: float


@lru_cache(maxsize=64)
def mark_numbers(zone: MarkZone) -> MarkNumbers:
    """Measure a mark; of letters that the face lacks all there is nothing."""
    shape = shape_of(zone)
    if shape.is_empty:
        return MarkNumbers(line=0.0, gap=None, islands=0, area=0.0, volume=0.0)
    return MarkNumbers(
        line=least_line(shape),
        gap=least_gap(shape),
        islands=len(islands(shape)),
        area=float(shape.area),
        volume=float(shape.area) * zone.depth,
    )
