"""The pieces of a mock-up: carved out of the body, and laid on beds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

import shapely
from manifold3d import Manifold, OpType
from shapely import Polygon

from bladegeom.knife.knife import Knife
from bladegeom.mockups.ballast import Balance, Ballast, find_ballast, helpful_fill, settled
from bladegeom.mockups.body import Body, area_of, extruded, mesh_of, printed_body, tidied
from bladegeom.mockups.cuts import cut_across, stretches
from bladegeom.mockups.dowels import (
    Dowel,
    between_halves,
    dowel_length,
    hole_of,
    pin_of,
    round_bar,
)
from bladegeom.mockups.laying import lay
from bladegeom.mockups.printing import Printing
from bladegeom.mockups.room import Inside
from bladegeom.solids.mesh import Mesh
from bladegeom.solids.moments import NOTHING, Moments
from bladegeom.solids.part import G_PER_MM3

Only = Literal["knife", "handle"]


@dataclass(frozen=True, kw_only=True)
class PrintPiece:
    """One piece to print.

    Args:
        name: Such as "right half".
        mesh: Where it is in the knife.
        laid: As it lies on its bed, mm from the bed's front left corner.
        bed: On which, counted from 1.

    >>> from bladegeom import mockup
    >>> [piece.name for piece in mockup(design).pieces][:2]
    ['right half', 'left half']
    """

    name: str
    mesh: Mesh
    laid: Mesh
    bed: int


class Hollows(NamedTuple):
    """What is hollowed out of the body: dowels, a bar; where no bar has room, what fill would make some."""

    dowels: tuple[Dowel, ...]
    ballast: Ballast | None
    helpful_fill: float | None


class Carved(NamedTuple):
    """What is printed, and what it was planned by."""

    pieces: tuple[PrintPiece, ...]
    cuts: tuple[float, ...]
    plan: Hollows


class _Flat(NamedTuple):
    """A piece in its place, and the same as it lies flat, anywhere."""

    name: str
    placed: Body
    flat: Body


def carved(knife: Knife, printing: Printing, *, only: Only, halves: bool, balance: Balance | None) -> Carved:
    """The pieces of a knife's mock-up.

    Args:
        knife: To be held.
        printing: How it is printed.
        only: The whole knife, or its handle alone.
        halves: Whether it is split along the middle plane.
        balance: Of the finished knife, for the ballast; None wants none.

    Raises:
        ParameterError: The bed is too small, or the steel too thin.
    """
    body = printed_body(knife, printing.least)
    if only == "handle":
        body ^= extruded(_behind(knife))
    room = Inside.within(body)
    cuts, crossing = cut_across(area_of(body), room, printing, halves=halves)
    plan = Hollows(crossing, None, None)
    if halves:
        plan = _planned(body, room, printing, cuts, crossing, balance)
    hollows = [hole_of(dowel, printing) for dowel in plan.dowels]
    if plan.ballast is not None:
        hollows.append(pocket_of(plan.ballast))
    left = body - Manifold.batch_boolean(hollows, OpType.Add) if hollows else body
    flats = [*_flats(left, cuts, halves=halves), *_pins(plan.dowels, printing)]
    return Carved(tuple(_laid(flats, printing)), cuts, plan)


def pocket_of(ballast: Ballast) -> Body:
    """The pocket of a bar, in both halves, as one solid."""
    thickness, height, length = ballast.pocket
    block = Manifold.cube([length, height, thickness], center=True)
    return block.rotate([0.0, 0.0, ballast.angle_deg]).translate([ballast.x, ballast.y, 0.0])


def _planned(
    body: Body,
    room: Inside,
    printing: Printing,
    cuts: Sequence[float],
    crossing: tuple[Dowel, ...],
    balance: Balance | None,
) -> Hollows:
    """Dowels and bar, set to each other: what dowels lack of the plastic that they stand in, the bar makes up for.

    ``balance`` is that of the knife; None wants no bar.
    """
    reach = printing.dowel_depth + printing.least
    room = room.without(shapely.union_all([shapely.box(x - reach, -1e3, x + reach, 1e3) for x in cuts]))
    solid = mesh_of(body).moments
    ballast = None if balance is None else find_ballast(room, _weighed(solid, printing), balance, printing)
    free = room if ballast is None else room.without(ballast.footprint.buffer(printing.least))
    dowels = (*crossing, *between_halves(free, printing, stretches(cuts)))
    if balance is None:
        return Hollows(dowels, None, None)
    if ballast is None:
        filled = Balance(solid.amount * printing.made_of.density_g_cm3 * G_PER_MM3, solid.centre[0])
        return Hollows(dowels, None, helpful_fill(room, filled, balance, printing))
    lost = sum((mesh_of(hole_of(each, printing) - pin_of(each, printing)).moments for each in dowels), NOTHING)
    return Hollows(dowels, settled(ballast, _weighed(solid - lost, printing), balance, printing), None)


def _weighed(volume: Moments, printing: Printing) -> Balance:
    return Balance(volume.amount * printing.density * G_PER_MM3, volume.centre[0])


def _behind(knife: Knife) -> Polygon:
    """All that lies behind the handle front."""
    front = knife.front_line.vertices
    (x0, y0), (x1, y1) = front[0], front[-1]
    up = ((x0 - x1) * 50, (y0 - y1) * 50)
    ends = [(x0 + up[0], y0 + up[1]), *map(tuple, front), (x1 - up[0], y1 - up[1])]
    return Polygon([*ends, (-1e4, ends[-1][1]), (-1e4, ends[0][1])])


def _flats(left: Body, cuts: Sequence[float], *, halves: bool) -> Iterator[_Flat]:
    sides = {"right half": 1.0, "left half": -1.0} if halves else {"mock-up": 0.0}
    lengths = stretches(cuts)
    for name, side in sides.items():
        half = left.trim_by_plane([0.0, 0.0, side], 0.0) if side else left
        for number, (low, high) in enumerate(lengths, start=1):
            part = half
            if len(lengths) > 1:
                part = half.trim_by_plane([1.0, 0.0, 0.0], low).trim_by_plane([-1.0, 0.0, 0.0], -high)
            part = tidied(part)
            called = f"{name}, part {number} of {len(lengths)}" if len(lengths) > 1 else name
            # The split face lies down.
            yield _Flat(called, part, part.rotate([180.0, 0.0, 0.0]) if side < 0 else part)


def _pins(dowels: Sequence[Dowel], printing: Printing) -> Iterator[_Flat]:
    standing = round_bar(printing.dowel_diameter, dowel_length(printing))
    for number, dowel in enumerate(dowels, start=1):
        yield _Flat(f"dowel {number}", pin_of(dowel, printing), standing)


def _laid(flats: Sequence[_Flat], printing: Printing) -> Iterator[PrintPiece]:
    places = lay([area_of(each.flat) for each in flats], printing.print_bed)
    for (name, placed, flat), place in zip(flats, places, strict=True):
        turned = flat.rotate([0.0, 0.0, place.angle_deg])
        moved = turned.translate([place.dx, place.dy, -turned.bounding_box()[2]])
        yield PrintPiece(name=name, mesh=mesh_of(placed), laid=mesh_of(moved), bed=place.bed + 1)
