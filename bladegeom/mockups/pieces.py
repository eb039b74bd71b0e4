"""The pieces of a mock-up: carved out of the body, and laid on beds."""

from __future__ import annotations

import functools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final, Literal, NamedTuple

import shapely
from manifold3d import Manifold, OpType
from shapely import Polygon

from bladegeom.knife.knife import Knife
from bladegeom.mockups.ballast import (
    Balance,
    Ballast,
    PartOfABar,
    best_part,
    find_ballast,
    has_room,
    helpful_fill,
    less_filled,
    longer,
    settled,
    solid_mass,
)
from bladegeom.mockups.body import Body, area_of, extruded, mesh_of, printed_body, tidied
from bladegeom.mockups.cuts import cut_across, stretches
from bladegeom.mockups.dowels import (
    Dowel,
    between_halves,
    dowel_length,
    footprint_of,
    hole_of,
    pin_of,
    round_bar,
)
from bladegeom.mockups.infill import printed_balance
from bladegeom.mockups.laying import lay
from bladegeom.mockups.printing import Printing
from bladegeom.mockups.room import Inside
from bladegeom.solids.mesh import Mesh

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
    """What is hollowed out of the body: dowels, a bar; where none has room, what fill helps, or how far off it is."""

    dowels: tuple[Dowel, ...]
    ballast: Ballast | None = None
    helpful_fill: float | None = None
    best_part: PartOfABar | None = None


class Carved(NamedTuple):
    """What is printed, what that weighs without the bar, and what it was planned by."""

    pieces: tuple[PrintPiece, ...]
    plastic: Balance
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
    block = _Block(body, cuts, printing, halves=halves)
    plan = _planned(block, room, crossing, balance) if halves else Hollows(crossing)
    flats = block.carved(plan)
    return Carved(tuple(_laid(flats, printing)), _together(flats, printing), cuts, plan)


def pocket_of(ballast: Ballast) -> Body:
    """The pocket of a bar, in both halves, as one solid."""
    thickness, height, length = ballast.pocket
    block = Manifold.cube([length, height, thickness], center=True)
    return block.rotate([0.0, 0.0, ballast.angle_deg]).translate([ballast.x, ballast.y, 0.0])


class _Block(NamedTuple):
    """What pieces are carved out of."""

    body: Body
    cuts: tuple[float, ...]
    printing: Printing
    halves: bool

    def carved(self, plan: Hollows) -> list[_Flat]:
        """Its pieces with their hollows, and the dowels."""
        hollows = [hole_of(dowel, self.printing) for dowel in plan.dowels]
        if plan.ballast is not None:
            hollows.append(pocket_of(plan.ballast))
        left = self.body - Manifold.batch_boolean(hollows, OpType.Add) if hollows else self.body
        return [*_flats(left, self.cuts, halves=self.halves), *_pins(plan.dowels, self.printing)]


def _together(flats: Sequence[_Flat], printing: Printing) -> Balance:
    """What some pieces weigh in their places."""
    return functools.reduce(
        lambda balance, other: balance.with_more(*other), (printed_balance(each.placed, printing) for each in flats)
    )


def _planned(block: _Block, room: Inside, crossing: tuple[Dowel, ...], balance: Balance | None) -> Hollows:
    """Dowels and bar, set to each other: what hollows lack of plastic, and their walls have more, the bar makes up for.

    ``balance`` is that of the knife; None wants no bar.
    """
    printing = block.printing
    reach = printing.dowel_depth + printing.least
    room = room.without(shapely.union_all([shapely.box(x - reach, -1e3, x + reach, 1e3) for x in block.cuts]))
    if balance is None:
        return Hollows((*crossing, *between_halves(room, printing, stretches(block.cuts))))
    # Dowels go where a bar leaves room for them, and then the bar is sought anew beside them, who weigh something too.
    first = find_ballast(room, _together(block.carved(Hollows(crossing)), printing), balance, printing)
    free = room if first is None else room.without(first.footprint.buffer(printing.least))
    dowels = (*crossing, *between_halves(free, printing, stretches(block.cuts)))
    drilled = block.carved(Hollows(dowels))
    left = room.without(shapely.union_all([footprint_of(dowel, printing) for dowel in dowels if dowel.along == "z"]))
    plastic = bare = _together(drilled, printing)
    for _ in range(_SEARCHES):
        ballast = find_ballast(left, plastic, balance, printing)
        if ballast is None:
            break
        fitted = _settled(block, left, dowels, ballast, balance)
        if fitted is not None:
            return Hollows(dowels, fitted)
        # The walls of its pocket weigh, and not where it lies: sought anew with them.
        with_walls = _together(block.carved(Hollows(dowels, ballast)), printing)
        plastic = with_walls.with_more(solid_mass(ballast, printing), ballast.x)
    prints = ((way, _together(drilled, way)) for way in less_filled(printing))
    fill = helpful_fill(left, prints, balance)
    return Hollows(dowels, None, fill, None if fill else best_part(left, bare, balance, printing))


def _settled(
    block: _Block, room: Inside, dowels: tuple[Dowel, ...], ballast: Ballast, balance: Balance
) -> Ballast | None:
    """The bar as long as pieces with its pocket and dowels ask for, by what they weigh; None without room for it."""
    last: tuple[float, float] | None = None
    for _ in range(_SETTLINGS):
        plastic = _together(block.carved(Hollows(dowels, ballast)), block.printing)
        off = plastic.with_more(ballast.mass, ballast.x).x - balance.x
        if abs(off) < _SETTLED:
            return ballast
        asked = settled(ballast, plastic, balance, block.printing)
        if last is not None and not ballast.whole:
            # Its walls grow with it, evenly.
            asked = longer(ballast, off * (ballast.length - last[0]) / (last[1] - off), block.printing)
        last, ballast = (ballast.length, off), asked
        if not has_room(room, ballast, block.printing):
            return None
    return ballast


_SEARCHES: Final = 3
"""For a bar that has room as long as it comes to be."""

_SETTLINGS: Final = 12
"""At most: each pocket is a little other than the one before it."""

_SETTLED: Final = 0.002
"""A balance point so near to the knife's is on it, mm."""


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
