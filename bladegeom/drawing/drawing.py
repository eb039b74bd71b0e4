"""The drawing model: curves, circles and text in mm on layers named by what the shop does. It knows no knife."""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, TypeVar

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import Curve, FloatArray, rotation
from bladegeom.quantities.lettering import DEPTH, one_line, text_width

Layer = Literal["CUT", "DRILL", "MARK", "NOTE"]
Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, kw_only=True)
class Pen:
    """How a line is drawn: width in mm, dashes and gaps in mm, grey from 0 (black) to 1."""

    width: float
    dashes: tuple[float, ...] = ()
    grey: float = 0.0


CUT_PEN = Pen(width=0.2)
THIN_PEN = Pen(width=0.13)
SCRIBE_PEN = Pen(width=0.18, dashes=(3.0, 1.0))
ROUGH_PEN = Pen(width=0.18, dashes=(0.5, 0.9))
CENTRE_PEN = Pen(width=0.13, dashes=(4.0, 0.8, 0.8, 0.8))
LEADER_PEN = Pen(width=0.1, grey=0.45)

SMALL_TEXT = 2.0
"""Height of the notes on a piece, mm."""


@dataclass(frozen=True, kw_only=True)
class Path:
    """A line along a curve.

    Args:
        layer: What the shop does with it.
        curve: Where it runs; a closed one ends where it starts.
        closed: Whether the ends are joined.
        pen: How it is drawn.
        filled: Whether the inside is solid, for marks.

    >>> from bladegeom import line
    >>> Path(layer="CUT", curve=line((0.0, 0.0), (10.0, 0.0))).closed
    False
    """

    layer: Layer
    curve: Curve
    closed: bool = False
    pen: Pen = THIN_PEN
    filled: bool = False


@dataclass(frozen=True, kw_only=True)
class Circle:
    """A circle stays a circle in every format. Centre and radius in mm.

    >>> Circle(layer="DRILL", x=5.0, y=5.0, radius=3.0).radius
    3.0
    """

    layer: Layer
    x: float
    y: float
    radius: float
    pen: Pen = THIN_PEN
    filled: bool = False


@dataclass(frozen=True, kw_only=True)
class Label:
    """A line of text: its anchor on the base line, its height in mm, its direction.

    >>> round(Label(layer="NOTE", x=0.0, y=0.0, text="edge down", height=2.4).width, 1)
    13.0
    """

    layer: Layer
    x: float
    y: float
    text: str
    height: float = 2.4
    angle_deg: float = 0.0
    anchor: Anchor = "start"
    bold: bool = False

    def __post_init__(self) -> None:
        object.__setattr__(self, "text", one_line(self.text))

    @property
    def width(self) -> float:
        """Length of the text, mm."""
        return text_width(self.text, self.height, bold=self.bold)

    @property
    def corners(self) -> FloatArray:
        """Box that surely holds the text, shape (4, 2), mm."""
        width = self.width
        left = {"start": 0.0, "middle": -width / 2, "end": -width}[self.anchor]
        low, high = -DEPTH * self.height, self.height
        box = np.array([[left, low], [left + width, low], [left + width, high], [left, high]])
        if self.angle_deg:
            box = box @ rotation(self.angle_deg)[:, :2].T
        return np.asarray(box + np.array([self.x, self.y]))


Item = Path | Circle | Label
_Item = TypeVar("_Item", bound=Item)


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """Items in mm, y up. Later ones are drawn over earlier ones.

    >>> from bladegeom import Circle
    >>> drawing = Drawing(name="hole", items=(Circle(layer="DRILL", x=5.0, y=5.0, radius=3.0),))
    >>> [round(value, 2) for value in drawing.moved(10.0, 0.0).bounds]
    [11.94, 1.94, 18.06, 8.06]
    """

    name: str
    items: tuple[Item, ...]

    def turned(self, angle_deg: float) -> Drawing:
        """Turned counter-clockwise about the origin, text with it."""
        if angle_deg == 0.0:
            return self
        matrix = rotation(angle_deg)
        return dataclasses.replace(self, items=tuple(_turned(item, matrix, angle_deg) for item in self.items))

    def moved(self, dx: float, dy: float) -> Drawing:
        """Shifted by (dx, dy) mm."""
        return dataclasses.replace(self, items=tuple(_moved(item, dx, dy) for item in self.items))

    def mirrored(self) -> Drawing:
        """As seen from the other side: x becomes -x; every text keeps its box and stays readable."""
        return dataclasses.replace(self, items=tuple(_mirrored(item) for item in self.items))

    @property
    def points(self) -> FloatArray:
        """Points (n, 2) whose hull holds the whole drawing, mm."""
        return np.concatenate([_reach(item) for item in self.items])

    @cached_property
    def boxes(self) -> FloatArray:
        """Least x, least y, greatest x, greatest y of the points of each item, shape (n, 4), mm."""
        reach = [_reach(item) for item in self.items]
        points, first = np.concatenate(reach), np.cumsum([0, *map(len, reach[:-1])])
        boxes = np.concatenate([np.minimum.reduceat(points, first), np.maximum.reduceat(points, first)], axis=1)
        boxes.flags.writeable = False
        return boxes

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        """The same of all of them together, mm."""
        (x0, y0), (x1, y1) = self.boxes[:, :2].min(axis=0).tolist(), self.boxes[:, 2:].max(axis=0).tolist()
        return x0, y0, x1, y1

    def _repr_svg_(self) -> str:
        from bladegeom.writers.notebook import drawing_picture  # noqa: PLC0415

        return drawing_picture(self)


@dataclass(frozen=True, kw_only=True, eq=False)
class Raster:
    """Pixels on a page.

    Args:
        x: Left border, mm.
        y: Lower border, mm.
        width: On the page, mm.
        height: On the page, mm.
        pixels: Red, green and blue in rows from the top, shape (rows, columns, 3).

    >>> import numpy as np
    >>> Raster(x=0.0, y=0.0, width=20.0, height=10.0, pixels=np.zeros((100, 200, 3), dtype=np.uint8)).height
    10.0
    """

    x: float
    y: float
    width: float
    height: float
    pixels: npt.NDArray[np.uint8]


@dataclass(frozen=True, kw_only=True)
class Window:
    """The part of a drawing within a box: least x, least y, greatest x, greatest y, mm."""

    box: tuple[float, float, float, float]
    drawing: Drawing


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """A drawing on a page of true size: origin at the lower left corner of the paper.

    Args:
        width: Of the paper, mm.
        height: Of the paper, mm.
        drawing: What stands on it in full.
        windows: What is cut off at a border, under the drawing.
        rasters: Pixels, under all lines.
        scale: By how much everything is made longer along x and along y.
        shift: Where the drawing's origin comes to lie, mm.

    >>> from bladegeom import template
    >>> page = template(design).sheets[0]
    >>> page.width, page.height
    (297.0, 210.0)
    """

    width: float
    height: float
    drawing: Drawing
    windows: tuple[Window, ...] = ()
    rasters: tuple[Raster, ...] = ()
    scale: tuple[float, float] = (1.0, 1.0)
    shift: tuple[float, float] = (0.0, 0.0)

    def _repr_svg_(self) -> str:
        from bladegeom.writers.notebook import sheet_picture  # noqa: PLC0415

        return sheet_picture(self)


def _turned(item: Item, matrix: FloatArray, angle_deg: float) -> Item:
    if isinstance(item, Path):
        return dataclasses.replace(item, curve=item.curve.transformed(matrix))
    x, y = (float(v) for v in matrix[:, :2] @ np.array([item.x, item.y]) + matrix[:, 2])
    if isinstance(item, Label):
        return dataclasses.replace(item, x=x, y=y, angle_deg=item.angle_deg + angle_deg)
    return dataclasses.replace(item, x=x, y=y)


def _moved(item: Item, dx: float, dy: float) -> Item:
    if isinstance(item, Path):
        return _with(item, curve=item.curve.moved(dx, dy))
    return _with(item, x=item.x + dx, y=item.y + dy)


def _with(item: _Item, **changed: object) -> _Item:
    """The item with some fields changed, which need no second look: an export moves tens of thousands."""
    new = object.__new__(type(item))
    new.__dict__.update(item.__dict__, **changed)
    return new


def _mirrored(item: Item) -> Item:
    if isinstance(item, Path):
        return dataclasses.replace(item, curve=item.curve.transformed([[-1.0, 0.0, 0.0], [0.0, 1.0, 0.0]]))
    if isinstance(item, Label):
        anchors: dict[Anchor, Anchor] = {"start": "end", "middle": "middle", "end": "start"}
        return dataclasses.replace(item, x=-item.x, angle_deg=-item.angle_deg, anchor=anchors[item.anchor])
    return dataclasses.replace(item, x=-item.x)


_AROUND = np.stack([part(np.arange(16) * math.pi / 8) for part in (np.cos, np.sin)], axis=1)
"""Corners of a polygon with 16 sides, shape (16, 2)."""


def _reach(item: Item) -> FloatArray:
    if isinstance(item, Label):
        return item.corners
    if isinstance(item, Circle):
        return np.asarray(item.radius / math.cos(math.pi / 16) * _AROUND + np.array([item.x, item.y]))
    # A Bezier piece lies within the hull of its control points.
    return np.asarray(item.curve.pieces.reshape(-1, 2))
