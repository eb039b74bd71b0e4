"""Waisted handle: drawn in behind the front for the first fingers, swelled for the palm, and narrowed to the butt."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from bladegeom.outline import handle_parameters as usual
from bladegeom.outline.corner import close_with_butt
from bladegeom.outline.halves import HandleCurves, Joint
from bladegeom.outline.parameter import parameter, require, require_numbers
from bladegeom.outline.through import through

_WAIST_AT, _PALM_AT = 0.26, 0.55
"""Their places as parts of the length behind the handle front; own choice by eye."""

_TOP = 0.3
"""Of waist, at the top: more would sway the back; own choice by eye."""

_FALL = 1.9
"""Slope at the butt's rounding, times that of the chord from the palm; own choice by eye."""


@dataclass(frozen=True, kw_only=True)
class Waisted:
    """Waisted handle half; all is laid off to both sides of a middle line that bends down towards the butt."""

    # Into the waist, and out of it round the palm.
    inflections: ClassVar[Mapping[str, int]] = {"handle_top": 2, "handle_underside": 2}
    # Over the waist there is room for smaller fasteners only: what a starting script takes in place of a drill.
    smaller_drills: ClassVar[Mapping[str, str]] = {"1/4": "3/16"}

    length: float = usual.length(118.0, 95.0, 145.0)
    waist: float = parameter(1.8, "mm", 0.6, 3.0, "underside drawn in at the waist; the top by a third of it")
    swell: float = parameter(1.8, "mm", 1.0, 3.0, "each side of the palm outside that of the handle front")
    narrow: float = parameter(0.12, "of the palm", 0.06, 0.16, "each side of the butt's rounding within the palm")
    drop: float = parameter(4.0, "mm", 0.0, 10.0, "middle of the butt below that of the handle front")
    butt_round: float = usual.butt_round(9.0, 5.0, 12.0)

    def __post_init__(self) -> None:
        require_numbers(self)
        most = self.length * (1 - _PALM_AT)
        must = f"be more than 0 mm and end behind the palm (less than {most:g} mm)"
        require("butt_round", self.butt_round, "mm", must, ok=0 < self.butt_round < most)

    def handle(self, joint: Joint) -> HandleCurves:
        """Top, butt and underside."""
        half, x = joint.height / 2, self.butt_round - self.length
        waist, palm = half - self.waist, half + self.swell
        narrow = 2 * palm * self.narrow
        require("waist", self.waist, "mm", f"be less than {half:g} mm", ok=waist > 0)
        require("narrow", self.narrow, "of the palm", "be less than 0.5", ok=self.narrow < 0.5)
        fall = math.degrees(math.atan2(_FALL * narrow, -_PALM_AT * self.length - x))
        places = (-_WAIST_AT * self.length, -_PALM_AT * self.length, x)
        sides = []
        for at, out, turn in zip(places, (waist, palm, palm - narrow), (0.0, 0.0, fall), strict=True):
            back = -at / self.length
            lean = math.degrees(math.atan2(2 * self.drop * back, self.length))
            sides.append((at, -half - self.drop * back**2, out, lean, turn))
        top = [(at, y + out, 180.0 + lean + turn) for at, y, out, lean, turn in sides]
        top[0] = (top[0][0], sides[0][1] + half - _TOP * self.waist, top[0][2])
        underside = [(at, y - out, lean - turn) for at, y, out, lean, turn in sides]
        return close_with_butt(
            through([(0.0, 0.0, 180.0 + joint.top_slope_deg), *top]),
            through([*underside[::-1], (0.0, -joint.height, joint.bottom_slope_deg)]),
            rear=-self.length,
        )
