"""What a shop holds its work to: hole rules, cutting process, contact wheels. Defaults name their source."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass, field
from numbers import Real
from typing import Any

from bladegeom.body.require import require_all, require_kind, require_not_negative, require_positive
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.tables import Drill, drill_index

_PRACTICE = "common practice, no source"


def _limit(default: float, source: str) -> float:
    """A field that remembers where its default comes from; typed as the number that it holds."""
    return field(default=default, metadata={"source": source})


def _source(rules: Any, name: str) -> str:
    """Source of a limit: that of the default, or the set of the shop that changed it."""
    by_name = {f.name: f for f in dataclasses.fields(rules)}
    own = "name" in by_name and rules.name != by_name["name"].default
    if getattr(rules, name) != by_name[name].default:
        return f"set by the shop: {rules.name}" if own else "set by the shop"
    return str(by_name[name].metadata["source"])


@dataclass(frozen=True, kw_only=True)
class HoleRules:
    """Least distances of holes in the steel. A shop that changes a limit should give the set a name of its own.

    Args:
        name: Of the set; findings quote it for the limits that differ from the defaults.
        edge_distance_per_diameter: Hole centre to outline, in hole diameters.
        rim: Steel between a hole and the outline, mm.
        web: Steel between two holes, mm.
        per_thickness: Rim and web are also at least this many times the stock's thickness.
        clear_strip: Behind the handle front, to the nearest rim of a hole, mm.
    """

    name: str = "bladegeom defaults"
    edge_distance_per_diameter: float = _limit(
        1.2, "EN 1993-1-8:2005 Table 3.3, e1 and e2 for bolts in hole diameters; for knives an extrapolation"
    )
    rim: float = _limit(3.0, _PRACTICE)
    web: float = _limit(3.0, _PRACTICE)
    per_thickness: float = _limit(1.0, _PRACTICE)
    clear_strip: float = _limit(10.0, _PRACTICE)

    def __post_init__(self) -> None:
        require_not_negative(
            "hole rules",
            edge_distance_per_diameter=self.edge_distance_per_diameter,
            rim=self.rim,
            web=self.web,
            per_thickness=self.per_thickness,
            clear_strip=self.clear_strip,
        )

    def least_rim(self, thickness: float) -> float:
        """Steel to leave between a hole and the outline of stock of a thickness, mm."""
        return max(self.rim, self.per_thickness * thickness)

    def least_web(self, thickness: float) -> float:
        """Steel to leave between two holes in stock of a thickness, mm."""
        return max(self.web, self.per_thickness * thickness)

    def source(self, limit: str) -> str:
        """Where a limit comes from."""
        return _source(self, limit)


@dataclass(frozen=True, kw_only=True)
class Process:
    """Limits of the process that cuts the outline and the holes made with it.

    Args:
        name: Of the process or of the shop whose limits these are.
        smallest_hole: mm.
        smallest_hole_per_thickness: And at least this many times the stock's thickness.
        inside_radius: Smallest inside corner that the tool leaves, mm.
    """

    name: str = "waterjet"
    smallest_hole: float = _limit(1.8, "a cutting service's guideline for waterjet: max(0.5 t, 0.07 in)")
    smallest_hole_per_thickness: float = _limit(0.5, "a cutting service's guideline for waterjet: max(0.5 t, 0.07 in)")
    inside_radius: float = _limit(0.8, "the largest of three waterjet shops' figures: 0.015, 0.020 and 0.032 in")

    def __post_init__(self) -> None:
        require_not_negative(
            "process",
            smallest_hole=self.smallest_hole,
            smallest_hole_per_thickness=self.smallest_hole_per_thickness,
            inside_radius=self.inside_radius,
        )

    def least_hole(self, thickness: float) -> float:
        """Smallest hole that the process cuts in stock of a thickness, mm."""
        return max(self.smallest_hole, self.smallest_hole_per_thickness * thickness)

    def source(self, limit: str) -> str:
        """Where a limit comes from."""
        source = _source(self, limit)
        # A default that was stated for the one process says nothing of another.
        other = self.name != "waterjet" and not source.startswith("set by")
        return f"{source}; not stated for {self.name}" if other else source


@dataclass(frozen=True, kw_only=True)
class Shop:
    """What stands in the workshop.

    Args:
        contact_wheels: Diameters of the contact wheels for the grinder, mm; the smallest decides what can be ground.
        drills: The drills in the index; by default fractions of an inch, 1/16 to 1/2.
        process: Who cuts the outline.
        smallest_inside_radius: Least radius of any inside corner that goes through hardening, mm.
        least_edge_before_hardening: Least thickness of the edge in the quench, mm.
    """

    contact_wheels: tuple[float, ...] = (12.7, 25.4, 50.8, 254.0)
    drills: tuple[Drill, ...] = field(default_factory=lambda: drill_index("fractional"))
    process: Process = field(default_factory=Process)
    smallest_inside_radius: float = _limit(1.5, _PRACTICE)
    least_edge_before_hardening: float = _limit(0.5, f"{_PRACTICE}: 0.5 to 0.8 mm for an oil quench")

    def __post_init__(self) -> None:
        require_all("shop", Real, "contact_wheels=(25.4, 254.0)", contact_wheels=self.contact_wheels)
        require_all("shop", Drill, 'drills=drill_index("metric")', drills=self.drills)
        require_kind("shop", Process, 'process=Process(name="laser", smallest_hole=3.0)', process=self.process)
        object.__setattr__(self, "contact_wheels", tuple(self.contact_wheels))
        object.__setattr__(self, "drills", tuple(self.drills))
        if not self.contact_wheels:
            raise ParameterError("shop: contact_wheels", "()", "name at least one wheel")
        if not self.drills:
            raise ParameterError("shop: drills", "()", "hold at least one drill")
        for wheel in self.contact_wheels:
            require_positive("shop", contact_wheel=wheel)
        require_not_negative(
            "shop",
            smallest_inside_radius=self.smallest_inside_radius,
            least_edge_before_hardening=self.least_edge_before_hardening,
        )

    def source(self, limit: str) -> str:
        """Where a limit comes from."""
        return _source(self, limit)
