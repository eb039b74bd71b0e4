"""Marks as they are made: lines and gaps that a way can show, islands that a stencil cannot hold, and the depth."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shapely.geometry.base import BaseGeometry

from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.knife.zone import MarkZone
from bladegeom.marking.islands import islands
from bladegeom.marking.mark_region import mark_region
from bladegeom.marking.thin_places import ThinPlace, gap_places, least_gap, least_line, thin_places
from bladegeom.quantities.mark_ways import MarkWay, mark_ways
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_fine, show_length, show_place, show_size

_LARGER = 1.02
"""A field that is told as large enough is a little larger, so that roundings do not matter."""


@rule(
    Code("mark-line-thin", ("warning",), "a mark has lines thinner than the way it is made can show"),
    Code("mark-gap-narrow", ("warning",), "a mark has gaps narrower than the way it is made can keep open"),
    Code("mark-island", ("error",), "pieces of a mark's stencil fall out"),
    Code("mark-too-deep", ("warning",), "a mark is deeper than the way it is made comes"),
)
def check_marks(knife: Knife) -> Iterator[Finding]:
    """All findings about marks of which it is told how they are made."""
    for zone in knife.zones:
        if not isinstance(zone, MarkZone) or zone.made is None:
            continue
        way = mark_ways()[zone.made]
        yield from _deep(zone, way)
        region = mark_region(zone)
        if not region.is_empty:
            yield from _islands(zone, way, region)
            yield from _lines(zone, way, region)
            yield from _gaps(zone, way, region)


def _lines(zone: MarkZone, way: MarkWay, region: BaseGeometry) -> Iterator[Finding]:
    thin = thin_places(region, way.least_line - SHOP)
    if thin:
        line = least_line(region)
        bold = ", or the bold face" if zone.artwork is None and not zone.bold else ""
        words = f"the mark {zone.text!r} has lines of {show_fine(line)}{_where(thin)}, and {way.said} shows none "
        words += f"thinner than {show_fine(way.least_line)}: {_larger(zone, way.least_line, line)}{bold}"
        yield _finding("mark-line-thin", words, line, way.least_line, way, thin[0])


def _gaps(zone: MarkZone, way: MarkWay, region: BaseGeometry) -> Iterator[Finding]:
    narrow = gap_places(region, way.least_gap - SHOP)
    gap = least_gap(region) if narrow else None
    if gap is None:
        return
    words = f"the mark {zone.text!r} has gaps of {show_fine(gap)}{_where(narrow)}, and {way.said} keeps none open "
    words += f"narrower than {show_fine(way.least_gap)}: "
    if 0 < zone.bridge < way.least_gap - SHOP:
        words += f"its bridges are {show_length(zone.bridge)} wide; make them {show_length(way.least_gap)}"
    else:
        words += _larger(zone, way.least_gap, gap)
    yield _finding("mark-gap-narrow", words, gap, way.least_gap, way, narrow[0])


def _islands(zone: MarkZone, way: MarkWay, region: BaseGeometry) -> Iterator[Finding]:
    if way.holds_islands:
        return
    free = islands(region)
    if not free:
        return
    at = free[0].representative_point()
    pieces = "1 piece falls" if len(free) == 1 else f"{len(free)} pieces fall"
    words = f"{pieces} out of the stencil of the mark {zone.text!r}, as nothing holds the middle of a closed line, "
    words += (
        f"the first at {show_place(at.x, at.y)}: bridge={way.least_gap:g} holds them, or take another way to make it"
    )
    yield _finding("mark-island", words, float(len(free)), 0.0, way, ThinPlace(float(at.x), float(at.y)))


def _deep(zone: MarkZone, way: MarkWay) -> Iterator[Finding]:
    if zone.depth > way.deepest + SHOP / 10:
        words = f"the mark {zone.text!r} is to be {show_fine(zone.depth)} deep, and {way.said} comes to "
        words += f"{show_fine(way.deepest)} as a rule: make it shallower, or try it on a piece of the same steel"
        yield _finding("mark-too-deep", words, zone.depth, way.deepest, way, ThinPlace(zone.x, zone.y))


def _where(places: Sequence[ThinPlace]) -> str:
    """The first of them, and how many there are."""
    more = "" if len(places) == 1 else f", the first of {len(places)} places"
    return f" at {show_place(places[0].x, places[0].y)}{more}"


def _larger(zone: MarkZone, wanted: float, has: float) -> str:
    """The field in which it would be wide enough."""
    if not has > 0:
        return "change the drawing"
    times = _LARGER * wanted / has
    return f"it takes a field of {show_size(times * zone.width, times * zone.height)}"


def _finding(code: str, message: str, measured: float, limit: float, way: MarkWay, at: ThinPlace) -> Finding:
    return Finding(
        code=code,
        severity="error" if code == "mark-island" else "warning",
        part="blade",
        message=message,
        measured=measured,
        limit=limit,
        source=way.source,
        x=at.x,
        y=at.y,
    )
