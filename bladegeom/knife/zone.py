"""Zones on the faces of a blade: for a carved or textured surface, and for the maker's mark."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bladegeom.knife.grind import Flank
from bladegeom.knife.require import (
    require_between,
    require_finite,
    require_kind,
    require_not_negative,
    require_positive,
)
from bladegeom.quantities.errors import ParameterError


@dataclass(frozen=True, kw_only=True)
class TextureZone:
    """A carved or textured surface between grind line and spine, clear of scales, borders and marks.

    Args:
        start: Rear end along x, mm.
        end: Front end along x, mm.
        depth: Of the deepest groove, mm.
        least_thickness: Of the steel under the grooves, both sides counted, mm.
        margin: Kept free along grind line, spine, plunge line and marks, mm.
        front_margin: Kept free ahead of the handle front, mm.
        share: Of the area that the grooves take, 0 to 1, at their mean depth of ``depth`` times ``mean_depth``.
        mean_depth: Mean depth of a groove as a part of its deepest, 0 to 1; two thirds for a round bottom.
        side: Which faces carry it.
    """

    start: float
    end: float
    depth: float
    least_thickness: float = 2.0
    margin: float = 2.0
    front_margin: float = 5.0
    share: float = 0.6
    mean_depth: float = 2 / 3
    side: Flank | Literal["both"] = "both"

    def __post_init__(self) -> None:
        require_finite("texture zone", start=self.start, end=self.end)
        require_positive("texture zone", depth=self.depth, least_thickness=self.least_thickness)
        require_not_negative("texture zone", margin=self.margin, front_margin=self.front_margin)
        require_between("texture zone", 0.0, 1.0, share=self.share, mean_depth=self.mean_depth)
        _require_side("texture zone", self.side, ("right", "left", "both"))
        if not self.start < self.end:
            raise ParameterError("texture zone: end", f"{self.end:g} mm", f"lie ahead of its start, {self.start:g} mm")

    @property
    def flanks(self) -> tuple[Flank, ...]:
        """The faces that carry it."""
        return ("right", "left") if self.side == "both" else (self.side,)


@dataclass(frozen=True, kw_only=True)
class MarkZone:
    """A field for the maker's mark or for a text, on flat steel.

    Args:
        x: Middle, mm.
        y: Middle, mm.
        width: Along x, > 0 mm.
        height: Along y, > 0 mm.
        text: What is to stand there, letter by letter.
        side: Which face carries it.
    """

    x: float
    y: float
    width: float
    height: float
    text: str
    side: Flank = "right"

    def __post_init__(self) -> None:
        require_finite("mark zone", x=self.x, y=self.y)
        require_positive("mark zone", width=self.width, height=self.height)
        _require_side("mark zone", self.side, ("right", "left"))
        require_kind("mark zone", str, "text='AB'", text=self.text)
        if not self.text.strip():
            raise ParameterError("mark zone: text", repr(self.text), "say what is to stand there")

    @property
    def flanks(self) -> tuple[Flank, ...]:
        """The face that carries it."""
        return (self.side,)


Zone = TextureZone | MarkZone


def _require_side(part: str, side: str, known: tuple[str, ...]) -> None:
    if side not in known:
        words = [repr(name) for name in known]
        raise ParameterError(f"{part}: side", repr(side), f"be {', '.join(words[:-1])} or {words[-1]}")
