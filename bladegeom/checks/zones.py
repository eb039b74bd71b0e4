"""Zones for texture and marks: on flat steel, clear of each other and of the scales, not too deep."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import shapely

from bladegeom.grinding.zones import LEAST_TEXT, TEXT_FILLS, PlacedZone, flat_region, placed_zones
from bladegeom.holes.clearance import behind_front
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.knife.zone import MarkZone, TextureZone
from bladegeom.quantities.lettering import text_width
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length, show_mm, show_place

_SOURCE = "the zone as declared"


@rule(
    Code("zone-under-scale", ("error", "warning"), "a zone runs under the scale"),
    Code("mark-off-flat", ("error",), "a mark does not lie on flat steel"),
    Code("mark-text-too-small", ("warning",), "a mark's text is too small to be printed"),
    Code("texture-no-room", ("error",), "no flat steel is left for a texture"),
    Code("texture-too-deep", ("error",), "a texture leaves too little steel"),
    Code("zones-overlap", ("error",), "two zones cover the same steel"),
)
def check_zones(knife: Knife) -> Iterator[Finding]:
    """All findings about the zones of a knife."""
    placed = placed_zones(knife)
    for zone in placed:
        if isinstance(zone.zone, MarkZone):
            yield from _mark(knife, zone, zone.zone)
            yield from _small_text(zone.zone)
        else:
            yield from _texture(knife, zone, zone.zone)
    for a, b in itertools.combinations(placed, 2):
        yield from _overlap(a, b)


def _mark(knife: Knife, placed: PlacedZone, mark: MarkZone) -> Iterator[Finding]:
    flat = flat_region(knife, mark.side)
    off = shapely.difference(placed.region, flat)
    if off.area <= SHOP * SHOP:
        return
    x, y = shapely.get_coordinates(off.representative_point())[0]
    under = bool((behind_front(knife, shapely.get_coordinates(placed.region)) > SHOP).any())
    what = "runs under the scale" if under else "does not lie on flat steel"
    yield Finding(
        code="zone-under-scale" if under else "mark-off-flat",
        severity="error",
        part="blade",
        message=(
            f"the mark {mark.text!r}, {show_length(mark.width)} by {show_length(mark.height)}, {what} at "
            f"{show_place(x, y)}: {off.area:.1f} mm2 of its field are off; move it, or make it smaller"
        ),
        measured=float(off.area),
        limit=0.0,
        source=_SOURCE,
        x=float(x),
        y=float(y),
    )


def _small_text(mark: MarkZone) -> Iterator[Finding]:
    """Text that would have to be smaller than anybody can print is left out of the template."""
    wide, high = TEXT_FILLS
    needs = text_width(mark.text, LEAST_TEXT) / wide
    needs_height = LEAST_TEXT / high
    if mark.width >= needs and mark.height >= needs_height:
        return
    yield Finding(
        code="mark-text-too-small",
        severity="warning",
        part="blade",
        message=(
            f"the text {mark.text!r} would have to be smaller than {show_length(LEAST_TEXT)} in its field of "
            f"{show_length(mark.width)} by {show_length(mark.height)}, and is missing on the template; it needs "
            f"{show_length(max(needs, mark.width))} by {show_length(max(needs_height, mark.height))}, or a shorter text"
        ),
        measured=mark.width,
        limit=needs,
        source=_SOURCE,
        x=mark.x,
        y=mark.y,
    )


def _texture(knife: Knife, placed: PlacedZone, texture: TextureZone) -> Iterator[Finding]:
    if placed.deepest is None or placed.deepest_at is None:
        yield Finding(
            code="texture-no-room",
            severity="error",
            part="blade",
            message=(
                f"no flat steel is left for the texture from x {show_mm(texture.start)} to {show_mm(texture.end)} "
                "mm; lower the bevel, move the zone, or make its margins smaller"
            ),
            measured=0.0,
            limit=None,
            source=_SOURCE,
            x=texture.start,
        )
        return
    x, y = placed.deepest_at
    if texture.depth > placed.deepest + SHOP:
        yield Finding(
            code="texture-too-deep",
            severity="error",
            part="blade",
            message=(
                f"grooves of {show_length(texture.depth)} leave less than {show_length(texture.least_thickness)} of "
                f"steel at {show_place(x, y)}: no deeper than {show_length(max(placed.deepest, 0.0))} there"
            ),
            measured=texture.depth,
            limit=placed.deepest,
            source=_SOURCE,
            x=x,
            y=y,
        )
    if texture.start < knife.handle_front_middle[0]:
        yield Finding(
            code="zone-under-scale",
            severity="warning",
            part="blade",
            message=(
                f"the texture is declared from x {show_mm(texture.start)} mm, under the scale; it is cut off "
                f"{show_length(texture.front_margin)} ahead of the handle front"
            ),
            measured=texture.start,
            limit=knife.handle_front_middle[0] + texture.front_margin,
            source=_SOURCE,
            x=texture.start,
        )


def _overlap(a: PlacedZone, b: PlacedZone) -> Iterator[Finding]:
    if not set(a.zone.flanks) & set(b.zone.flanks):
        return
    shared = shapely.intersection(a.region, b.region)
    if shared.area <= SHOP * SHOP:
        return
    x, y = shapely.get_coordinates(shared.representative_point())[0]
    yield Finding(
        code="zones-overlap",
        severity="error",
        part="blade",
        message=f"two zones cover the same {shared.area:.1f} mm2 at {show_place(x, y)}; move one of them",
        measured=float(shared.area),
        limit=0.0,
        source=_SOURCE,
        x=float(x),
        y=float(y),
    )
