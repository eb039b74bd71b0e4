"""Where a knife lies on a page on which it is drawn at another size than its own."""

from __future__ import annotations

from dataclasses import dataclass

from bladegeom.curves.curve import Curve, Vector
from bladegeom.knife.knife import Knife


@dataclass(frozen=True, kw_only=True)
class ViewFrame:
    """The knife with its lowest place at height 0 of the page.

    Args:
        knife: The design.
        left: Left border of the text of the page, mm.
        right: Right border, mm.
        before: Kept free to the left of the knife, mm.
        beside: Kept free to the right of it, mm.
        most: Height that the knife may take, mm.
    """

    knife: Knife
    left: float
    right: float
    before: float
    beside: float
    most: float

    @property
    def scale(self) -> float:
        """Of the view: what the page's width allows, or the height."""
        x0, y0, x1, y1 = self.knife.outline.bounds
        return min(self._width / (x1 - x0), self.most / (y1 - y0))

    @property
    def _width(self) -> float:
        return self.right - self.beside - self.left - self.before

    @property
    def top(self) -> float:
        """Of the knife on the page, mm."""
        return self.place(0.0, self.knife.outline.bounds[3])[1]

    @property
    def front(self) -> float:
        """The knife's tip end on the page, mm."""
        return self.place(self.knife.outline.bounds[2], 0.0)[0]

    def place(self, x: float, y: float) -> Vector:
        """Of a place of the design on the page, mm."""
        x0, y0, x1, _ = self.knife.outline.bounds
        free = self._width - self.scale * (x1 - x0)
        return self.left + self.before + free / 2 + self.scale * (x - x0), self.scale * (y - y0)

    def curve(self, curve: Curve) -> Curve:
        """A curve of the design on the page."""
        (dx, dy), size = self.place(0.0, 0.0), self.scale
        return curve.transformed([[size, 0.0, dx], [0.0, size, dy]])
