"""With what a knife begins whose maker has settled nothing but its profiles."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class StartingSizes:
    """What suits a blade profile: sizes to change, not limits; those given here suit a small outdoor knife.

    Args:
        thickness: Of the bar, mm.
        bevel_height: From the edge, mm.
        edge_thickness: Before sharpening, mm.
        rough_edge: In the quench, mm; None hardens the blade unground.
        sharpen_deg: To each side.
        fasteners: In the handle.
        drill: Their size, by the name of a drill.

    Source:
        Common practice, no source.
    """

    thickness: float = 3.5
    bevel_height: float = 17.0
    edge_thickness: float = 0.40
    rough_edge: float | None = 0.8
    sharpen_deg: float = 18.0
    fasteners: int = 2
    drill: str = "1/4"


KITCHEN = StartingSizes(thickness=2.2, edge_thickness=0.2, rough_edge=0.5, sharpen_deg=13.0, fasteners=3, drill="3/16")
"""Of a large thin kitchen knife; each profile has its own height of the bevel. Source: common practice, no source."""
