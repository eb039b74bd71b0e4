"""A bevel of your own, declared by nothing but its heights.

A frozen dataclass with a ``kind``, an ``edge_thickness``, a ``height`` and a ``surface`` is a ground face; that it is
hollow, on which wheel, and that no jig wedge sets it is read from its heights. In a script of yours::

    from dataclasses import dataclass
    from typing import ClassVar

    from bladegeom import ByHeights, Grind, Plunge, SamplePoints

    @dataclass(frozen=True, kw_only=True)
    class Parabola(ByHeights):
        '''Hollow by a depth under the chord from edge to grind line.'''

        depth: float
        height: float
        edge_thickness: float
        kind: ClassVar[str] = "parabola"

        def surface(self, at: SamplePoints):
            low, share = at.edge_height(self.edge_thickness), at.from_edge / self.height
            return low + (at.stock - low) * share - 4 * self.depth * share * (1 - share)

    grind = Grind(bevel=Parabola(depth=0.2, height=16, edge_thickness=0.4), plunge=Plunge(x=9.5))

``at.from_edge`` is the distance from the edge, ``at.stock`` half of the bar's thickness, and the result the height over
the middle plane, all in mm and one for each place. Above the grind line the heights must rise over the stock.
"""

from __future__ import annotations

import dataclasses
from typing import ClassVar, Final, Protocol, TypeVar

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.knife.bevels.face import Section, Wheel
from bladegeom.knife.bevels.sample_points import SamplePoints
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.tolerances import SHOP

STRAIGHT: Final = 0.005
"""What strays less from its chord is flat, mm: half of what any shop can measure; own choice."""


class _Law(Protocol):
    def surface(self, at: SamplePoints) -> FloatArray: ...


_Declared = TypeVar("_Declared", bound="_Own")


class _Own(Protocol):
    __dataclass_fields__: ClassVar[dict[str, dataclasses.Field[object]]]

    @property
    def kind(self) -> str: ...


class ByHeights:
    """What follows from the heights of a face, for a class with ``kind``, ``edge_thickness``, ``height``, ``surface``.

    What it is ground with is read from its section at the first station where it shows.

    >>> import dataclasses
    >>> from typing import ClassVar
    >>> @dataclasses.dataclass(frozen=True, kw_only=True)
    ... class Straight(ByHeights):
    ...     height: float
    ...     edge_thickness: float
    ...     kind: ClassVar[str] = "straight"
    ...     def surface(self, at):
    ...         low = at.edge_height(self.edge_thickness)
    ...         return low + (at.stock - low) * at.from_edge / self.height
    ...
    >>> Straight(height=16.0, edge_thickness=0.4).kind
    'straight'
    """

    lies_under: ClassVar[None] = None
    arc_bulge: ClassVar[None] = None
    edge_advice: ClassVar[str] = ""

    def is_flat(self: _Law, section: Section, /) -> bool:
        """Whether its section is straight, to half of what a shop can measure."""
        d, z = _profile(self, section)
        return bool(np.abs(_off_chord(d, z)).max() <= STRAIGHT)

    def wheel(self: _Law, section: Section, /) -> Wheel | None:
        """The circle through both ends of its section and the deepest place under its chord; None where it bulges more.

        Source: closed form: the radius is c^2 / 8s + s / 2 for a chord c and a sagitta s. A wheel leaves the same
        hollow where its own sagitta differs by no more than a shop can measure.
        """
        d, z = _profile(self, section)
        off = _off_chord(d, z)
        if -off.min() <= max(STRAIGHT, off.max()):
            return None
        deepest, chord = int(off.argmin()), float(np.hypot(d[-1] - d[0], z[-1] - z[0]))
        x, y, diameter = _circle(d[[0, deepest, -1]], z[[0, deepest, -1]])
        sagitta = _sagitta(chord, diameter)
        strays = float(np.abs(np.hypot(d - x, z - y) - diameter / 2).max())
        flatter = sagitta - SHOP
        return Wheel(
            diameter=diameter,
            least=_diameter(chord, sagitta + SHOP),
            greatest=_diameter(chord, flatter) if flatter > 0 else np.inf,
            strays=strays,
        )

    def of_height(self: _Declared, height: float, /) -> _Declared:
        """The same with another height.

        Raises:
            ParameterError: Its height is no field, or no face of that height can be.
        """
        if "height" not in (field.name for field in dataclasses.fields(self)):
            raise ParameterError(f"{self.kind}: height", "no field", "be a field of the face, or have an of_height")
        return dataclasses.replace(self, height=height)


def _profile(face: _Law, section: Section) -> tuple[FloatArray, FloatArray]:
    at = section.places
    return at.from_edge, face.surface(at)


def _off_chord(d: FloatArray, z: FloatArray) -> FloatArray:
    """Distance from the straight line between both ends, shape (n,), mm; out of the steel positive."""
    way, rise = float(d[-1] - d[0]), float(z[-1] - z[0])
    return np.asarray((z - z[0] - (d - d[0]) * rise / way) * way / np.hypot(way, rise))


def _circle(d: FloatArray, z: FloatArray) -> tuple[float, float, float]:
    """Centre and diameter of the circle through three places."""
    rows = 2 * np.array([[d[1] - d[0], z[1] - z[0]], [d[2] - d[0], z[2] - z[0]]])
    squares = d**2 + z**2
    x, y = np.linalg.solve(rows, squares[1:] - squares[0]).tolist()
    return x, y, 2 * float(np.hypot(d[0] - x, z[0] - y))


def _sagitta(chord: float, diameter: float) -> float:
    return (diameter - float(np.sqrt(diameter**2 - chord**2))) / 2


def _diameter(chord: float, sagitta: float) -> float:
    return chord**2 / (4 * sagitta) + sagitta
