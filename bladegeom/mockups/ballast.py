"""What weight at which place makes a mock-up balance as the knife will."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np
import shapely
from shapely import Polygon

from bladegeom.curves.curve import FloatArray
from bladegeom.mockups.printing import Printing
from bladegeom.mockups.room import Inside, held_by, rectangles
from bladegeom.solids.part import G_PER_MM3

THICKNESSES: Final = (12.0, 8.0, 6.0, 4.0, 3.0, 2.0, 1.5)
HEIGHTS: Final = np.array([10.0, 12.0, 15.0, 20.0, 25.0])
"""Flat bar and strips of sheet, mm: common practice, no source."""

_SPARE: Final = 1.0
"""By how much a pocket is longer than its bar, mm; and what the search keeps free besides."""

_ANGLES: Final = np.radians([0.0, -4.0, 4.0, -8.0, 8.0])
_SIDEWAYS: Final = 1.5
_ALONG: Final = 4.0
"""Steps of the search, mm."""

_LIGHTEST: Final = 1.0
"""A weight below this is not worth a pocket, g."""

_LESS_FILLED: Final = (0.7, 0.5, 0.35, 0.25)
"""Shares that are tried: a usual print has walls and a fifth or a third of its inside filled."""


_PARTS: Final = (0.75, 0.5, 0.25, 0.1)
"""Of what it takes, tried where no whole bar has room."""


class Balance(NamedTuple):
    """A mass, g, and where along x its centre is, mm."""

    mass: float
    x: float

    def with_more(self, mass: float, x: float) -> Balance:
        """Both together."""
        return Balance(self.mass + mass, (self.mass * self.x + mass * x) / (self.mass + mass))


@dataclass(frozen=True, kw_only=True)
class Ballast:
    """A piece of flat bar on the middle plane, in a pocket that is half in each half.

    Args:
        thickness: Of the bar, mm.
        height: Of the bar, mm.
        length: Of the bar, mm.
        mass: Of the bar, g.
        x: Middle, mm.
        y: Middle, mm.
        angle_deg: Of its length from x, towards y.
        pocket: Its thickness, height and length, mm.
        whole: Whether the mock-up then weighs as much as the knife; else it balances as the knife does, and no more.

    >>> from bladegeom import Printing, mockup
    >>> bar = mockup(design, printing=Printing(fill=0.2)).ballast
    >>> bar.thickness <= bar.height <= bar.length
    True
    """

    thickness: float
    height: float
    length: float
    mass: float
    x: float
    y: float
    angle_deg: float
    pocket: tuple[float, float, float]
    whole: bool

    @property
    def footprint(self) -> Polygon:
        """Of the pocket in the side view."""
        _, height, length = self.pocket
        middle = np.array([[self.x, self.y]])
        (out,) = rectangles(middle, math.radians(self.angle_deg), length, height)
        return Polygon(out)


class PartOfABar(NamedTuple):
    """A bar with room that is too light, and what would have to lie where it does, g."""

    bar: Ballast
    wanted: float


class _Places(NamedTuple):
    """Places for bars of some sizes, shape (n,) each: what they add to the plastic, and how far that is off."""

    x: FloatArray
    y: FloatArray
    angle: FloatArray
    height: FloatArray
    added: FloatArray


def wished(plastic: Balance, knife: Balance) -> Balance | None:
    """The one weight that would bring both mass and balance; None where nothing is to be added.

    Source: two moments about the balance point, which must be equal.

    >>> wished(Balance(60.0, -20.0), Balance(160.0, -30.0))
    Balance(mass=100.0, x=-36.0)
    """
    added = knife.mass - plastic.mass
    if added < _LIGHTEST:
        return None
    return Balance(added, knife.x + plastic.mass * (knife.x - plastic.x) / added)


def find_ballast(room: Inside, plastic: Balance, knife: Balance, printing: Printing) -> Ballast | None:
    """The bar that brings mass and balance; else the one that brings the balance with the mass nearest to the knife's.

    Args:
        room: Within the body, less what stands there already.
        plastic: Of the mock-up without it.
        knife: Of the finished knife.
        printing: How it is printed.

    Returns:
        None where no bar that brings the balance has room.
    """
    both = wished(plastic, knife)
    if both is not None:
        found = _best(room, np.array([both.x]), np.array([both.mass]), knife.mass - plastic.mass, printing)
        if found is not None:
            return dataclasses.replace(found, whole=True)
    x, added = _levers(room, plastic, knife)
    return _best(room, x, added, knife.mass - plastic.mass, printing)


def best_part(room: Inside, plastic: Balance, knife: Balance, printing: Printing) -> PartOfABar | None:
    """Of the bars with room where one would bring the balance, the one that brings most of what it takes there.

    Returns:
        None where not even a tenth has room anywhere.
    """
    x, added = _levers(room, plastic, knife)
    for part in _PARTS:
        bar = _best(room, x, part * added, knife.mass - plastic.mass, printing)
        if bar is not None:
            return PartOfABar(bar, float(_lever(plastic, knife, np.array(bar.x))))
    return None


def _levers(room: Inside, plastic: Balance, knife: Balance) -> tuple[FloatArray, FloatArray]:
    """Places along a body, and what must be added there so that it balances, shape (n,), mm and g."""
    low, _, high, _ = room.ground.bounds
    x = np.arange(low, high, _ALONG)
    x = x[np.abs(x - knife.x) > _ALONG]
    return x, _lever(plastic, knife, x)


def helpful_fill(room: Inside, prints: Iterable[tuple[Printing, Balance]], knife: Balance) -> float | None:
    """How much less filled it must be printed so that a bar has room; None where none of some ways helps.

    Args:
        room: Within the body, less what stands there already.
        prints: Ways to print it, with what the mock-up then weighs, the most filled first.
        knife: Of the finished knife.
    """
    found = (way.fill for way, plastic in prints if find_ballast(room, plastic, knife, way) is not None)
    return next(found, None)


def less_filled(printing: Printing) -> Iterator[Printing]:
    """The same with shares of the inside that are usual and smaller, the most filled first."""
    yield from (dataclasses.replace(printing, fill=fill) for fill in _LESS_FILLED if fill < printing.fill)


def has_room(room: Inside, ballast: Ballast, printing: Printing) -> bool:
    """Whether a bar's pocket has walls all round."""
    thickness, height, length = ballast.pocket
    middle, walls = np.array([[ballast.x, ballast.y]]), 2 * printing.least
    pocket = rectangles(middle, math.radians(ballast.angle_deg), length + walls, height + walls)
    return bool(held_by(room.at((thickness + printing.least) / 2), pocket).all())


def solid_mass(ballast: Ballast, printing: Printing) -> float:
    """What its pocket would weigh of plastic alone, g."""
    return math.prod(ballast.pocket) * printing.made_of.density_g_cm3 * G_PER_MM3


def settled(ballast: Ballast, plastic: Balance, knife: Balance, printing: Printing) -> Ballast:
    """The same bar, as long and on the place of its axis that a mock-up of so much with its pocket asks for."""
    both = wished(plastic, knife) if ballast.whole else None
    x = both.x if both else ballast.x
    mass = both.mass if both else float(_lever(plastic, knife, np.array(x)))
    y = ballast.y + (x - ballast.x) * math.tan(math.radians(ballast.angle_deg))
    of_a_mm = ballast.thickness * ballast.height * printing.weight_of.density_g_cm3 * G_PER_MM3
    size = (ballast.thickness, ballast.height, mass / of_a_mm)
    return _bar(x, y, ballast.angle_deg, size, printing, whole=ballast.whole)


def longer(ballast: Ballast, by: float, printing: Printing) -> Ballast:
    """The same bar in its place, longer by some mm."""
    size = (ballast.thickness, ballast.height, ballast.length + by)
    return _bar(ballast.x, ballast.y, ballast.angle_deg, size, printing, whole=ballast.whole)


def _lever(plastic: Balance, knife: Balance, x: FloatArray) -> FloatArray:
    """What must be added at places so that it balances, g; negative where it would have to be taken away."""
    return np.asarray(plastic.mass * (knife.x - plastic.x) / (x - knife.x))


def _best(room: Inside, x: FloatArray, added: FloatArray, missing: float, printing: Printing) -> Ballast | None:
    """Of the bars with room: nearest to the missing mass, then along the knife, then about its middle, then thick."""
    useful = added >= _LIGHTEST
    if not useful.any():
        return None
    _, low, _, high = room.ground.bounds
    places = _grid(x[useful], added[useful], np.arange(low, high, _SIDEWAYS))
    middle = room.ground.centroid.y
    found: list[tuple[tuple[float, ...], Ballast]] = []
    for thickness in THICKNESSES:
        for i, length in _held(room, places, thickness, printing):
            off = round(abs(float(places.added[i]) - missing))
            angle, y = float(places.angle[i]), float(places.y[i])
            size = (thickness, float(places.height[i]), length)
            bar = _bar(float(places.x[i]), y, math.degrees(angle), size, printing, whole=False)
            found.append(((off, abs(angle), abs(y - middle), -thickness), bar))
    return min(found, key=lambda each: each[0])[1] if found else None


def _grid(x: FloatArray, added: FloatArray, y: FloatArray) -> _Places:
    """Every place with every height and angle."""
    number, each_y, angle, height = (
        each.ravel() for each in np.meshgrid(np.arange(len(x)), y, _ANGLES, HEIGHTS, indexing="ij")
    )
    return _Places(x[number], each_y, angle, height, added[number])


def _held(room: Inside, places: _Places, thickness: float, printing: Printing) -> Iterator[tuple[int, float]]:
    """Those places, by number, at which a bar of some thickness has room, with its length."""
    region = room.at((thickness + printing.play + printing.least) / 2)
    if region.is_empty:
        return
    length = _length(places.added, thickness, places.height, printing)
    x0, _, x1, _ = region.bounds
    fair = np.flatnonzero((length >= places.height) & (length < x1 - x0) & (places.height > thickness))
    for end in (0.0, 0.5, -0.5):
        # Without its middle and the middles of its ends it lies nowhere; that is quickly asked.
        way = end * length[fair]
        x, y = places.x[fair] + way * np.cos(places.angle[fair]), places.y[fair] + way * np.sin(places.angle[fair])
        fair = fair[shapely.contains_xy(region, x, y)]
    shapes = rectangles(
        np.column_stack([places.x, places.y])[fair],
        places.angle[fair],
        length[fair] + 2 * _SPARE + 2 * printing.least,
        places.height[fair] + printing.play + 2 * printing.least,
    )
    for i in fair[held_by(region, shapes)].tolist():
        yield i, float(length[i])


def _length(added: FloatArray, thickness: float, height: FloatArray, printing: Printing) -> FloatArray:
    """Of a bar that weighs so much more than its pocket, were that of plastic alone, mm: at most so long it will be."""
    metal = thickness * height * printing.weight_of.density_g_cm3 * G_PER_MM3
    plastic = (thickness + printing.play) * (height + printing.play) * printing.made_of.density_g_cm3 * G_PER_MM3
    return np.asarray((added + plastic * _SPARE) / (metal - plastic))


def _bar(
    x: float, y: float, angle_deg: float, size: tuple[float, float, float], printing: Printing, *, whole: bool
) -> Ballast:
    thickness, height, length = size
    return Ballast(
        thickness=thickness,
        height=height,
        length=length,
        mass=thickness * height * length * printing.weight_of.density_g_cm3 * G_PER_MM3,
        x=x,
        y=y,
        angle_deg=angle_deg,
        pocket=(thickness + printing.play, height + printing.play, length + _SPARE),
        whole=whole,
    )
