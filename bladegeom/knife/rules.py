"""What a shop holds its work to: hole rules, cutting process, contact wheels. Defaults name their source."""

from __future__ import annotations

from dataclasses import field
from functools import cache
from typing import Annotated, Any

from bladegeom.knife.handle_rules import Tolerances
from bladegeom.knife.limits import PRACTICE, limit, source_of
from bladegeom.quantities.cutting_processes import process_limits, process_named
from bladegeom.quantities.declared import declared
from bladegeom.quantities.drills import Drill, drill_index
from bladegeom.quantities.edge_distances import edge_distance, edge_tables
from bladegeom.quantities.errors import FieldError
from bladegeom.quantities.field_rules import (
    Becomes,
    Between,
    Distance,
    InUnit,
    Items,
    KnownWord,
    Length,
    Like,
    NotNegative,
    Share,
)
from bladegeom.quantities.usual import heeds_the_usual

_Steel = Annotated[float, Between(0, 1000), InUnit("mm")]
"""No knife is longer: what asks for more is a slip of the unit; own choice."""

_Times = Annotated[float, Between(0, 100)]
"""The same of a length in others; own choice."""


@heeds_the_usual
@declared("hole rules", example='HoleRules(name="our shop", rim=4.0)')
class HoleRules:
    """Least distances of holes in the steel. A shop that changes a limit should give the set a name of its own.

    Args:
        name: Of the set; findings quote it for the limits that differ from the defaults.
        edge_distance_per_diameter: Hole centre to outline, in hole diameters.
        edge_table: A published table in place of that factor, such as "AISC J3.4"; None keeps the factor.
        rim: Steel between a hole and the outline, mm.
        web: Steel between two holes, mm.
        per_thickness: Rim and web are also at least this many times the stock's thickness.
        clear_strip: Behind the handle front, to the nearest rim of a hole, mm.
        net_width: Of the tang's height, what must be left beside all holes that one upright line cuts, as a share.
        weak_section: Told as a note where less is left of a section modulus, as a share of the weakest undrilled
            section between there and the handle front.

    Raises:
        UnknownNameError: No such table.

    >>> HoleRules(name="our shop", rim=4.0).rim
    4.0
    """

    name: str = "bladegeom defaults"
    edge_distance_per_diameter: _Times = limit(
        1.2, "EN 1993-1-8:2005 Table 3.3, e1 and e2 for bolts in hole diameters; for knives an extrapolation"
    )
    edge_table: Annotated[str, KnownWord("table of edge distances", edge_tables)] | None = None
    rim: _Steel = limit(3.0, PRACTICE)
    web: _Steel = limit(3.0, PRACTICE)
    per_thickness: _Times = limit(1.0, PRACTICE)
    clear_strip: _Steel = limit(10.0, PRACTICE)
    net_width: Share = limit(0.5, f"{PRACTICE}: 50 to 60 % of the width, side bending goes with it")
    weak_section: Share = limit(0.5, "own choice: the lower end of the 50 to 60 % that are common for the width")

    def edge_distance(self, diameter: float) -> float:
        """Least distance from the centre of a hole of a diameter to the outline, mm; it never falls with the diameter.

        By a table that counts bolts the hole is taken for a bolt of its own diameter, which asks for a little more.
        """
        if self.edge_table is None:
            return self.edge_distance_per_diameter * diameter
        return edge_distance(self.edge_table, diameter).distance

    def edge_source(self, diameter: float) -> str:
        """Where that distance comes from; for a table also whether the size lies outside it."""
        if self.edge_table is None:
            return self.source("edge_distance_per_diameter")
        return edge_distance(self.edge_table, diameter).source

    def least_rim(self, thickness: float) -> float:
        """Steel to leave between a hole and the outline of stock of a thickness, mm."""
        return max(self.rim, self.per_thickness * thickness)

    def least_web(self, thickness: float) -> float:
        """Steel to leave between two holes in stock of a thickness, mm."""
        return max(self.web, self.per_thickness * thickness)

    def source(self, limit: str) -> str:
        """Where a limit comes from."""
        return source_of(self, limit)


def _stated(name: str) -> float:
    """A limit of waterjet cutting, the default: with its source from the table."""
    process_limit = process_limits()["waterjet"][name]
    return limit(process_limit.value, process_limit.source)


def _process_name(name: object) -> str:
    """As the table writes it."""
    if not isinstance(name, str):
        raise FieldError(like='"laser"')
    return process_named(name)[0]


@declared("process", example='Process.named("laser")')
class Process:
    """Limits of the process that cuts the outline and the holes made with it.

    Args:
        name: Of the process or of the shop whose limits these are.
        smallest_hole: mm.
        smallest_hole_per_thickness: And at least this many times the stock's thickness.
        inside_radius: Smallest inside corner that the tool leaves, mm.
        web: Least material between two cuts, mm.
        web_per_thickness: And at least this many times the stock's thickness.
        kerf: Width of the cut, mm. Cut files are of nominal size; the shop offsets by half of it.
        tolerance: Of the cut part's sizes, plus or minus, mm.
        taper: By how much more is cut at one face than at the other, both sides together, mm.
        start_hole: That every opening needs drilled before it can be cut, mm; 0 where the process pierces by itself.
        can_mark: Whether it can mark a face, and not only cut through.
        basis: The row of the table (``waterjet``, ``laser``, ``wire EDM``) that limits not set by the shop come from.

    Raises:
        UnknownNameError: No such basis.

    >>> Process.named("laser").name
    'laser'
    """

    name: str = "waterjet"
    smallest_hole: Distance = _stated("smallest_hole")
    smallest_hole_per_thickness: NotNegative = _stated("smallest_hole_per_thickness")
    inside_radius: Distance = _stated("inside_radius")
    web: Distance = _stated("web")
    web_per_thickness: NotNegative = _stated("web_per_thickness")
    kerf: Distance = _stated("kerf")
    tolerance: Distance = _stated("tolerance")
    taper: Distance = _stated("taper")
    start_hole: Distance = _stated("start_hole")
    can_mark: bool = bool(process_limits()["waterjet"]["can_mark"].value)
    basis: Annotated[str, Becomes(_process_name)] = "waterjet"

    @classmethod
    def named(cls, name: str) -> Process:
        """The limits that are common for "waterjet", "laser" or "wire EDM".

        A shop's own go over them: ``replace(Process.named("laser"), name="our laser", smallest_hole=1.5)``.

        Raises:
            UnknownNameError: No such process in the table.
            ParameterError: It is no text.
        """
        found, limits = process_named(name)
        values: dict[str, Any] = {name: limits[name].value for name in _LENGTHS}
        return cls(name=found, basis=found, can_mark=bool(limits["can_mark"].value), **values)

    def least_hole(self, thickness: float) -> float:
        """Smallest hole that the process cuts in stock of a thickness, mm."""
        return max(self.smallest_hole, self.smallest_hole_per_thickness * thickness)

    def least_web(self, thickness: float) -> float:
        """Least material that it leaves between two cuts in stock of a thickness, mm."""
        return max(self.web, self.web_per_thickness * thickness)

    def hole_source(self, thickness: float) -> str:
        """Where the smallest hole in stock of a thickness comes from."""
        by_thickness = self.smallest_hole_per_thickness * thickness > self.smallest_hole
        return self.source("smallest_hole_per_thickness" if by_thickness else "smallest_hole")

    def web_source(self, thickness: float) -> str:
        """Where the least web in stock of a thickness comes from."""
        return self.source("web_per_thickness" if self.web_per_thickness * thickness > self.web else "web")

    def source(self, limit: str) -> str:
        """Where a limit comes from."""
        stated = process_limits()[self.basis][limit]
        if getattr(self, limit) != stated.value:
            return "set by the shop" if self.name == self.basis else f"set by the shop: {self.name}"
        # What was stated for one process says nothing of another.
        return stated.source if self.name == self.basis else f"{stated.source}; not stated for {self.name}"


_LENGTHS = (
    "smallest_hole",
    "smallest_hole_per_thickness",
    "inside_radius",
    "web",
    "web_per_thickness",
    "kerf",
    "tolerance",
    "taper",
    "start_hole",
)


@cache
def boxed_set() -> tuple[Drill, ...]:
    """Fractions, numbers and letters, thinnest first: the usual large set. Source: common practice, no source."""
    drills = (drill for name in ("fractional", "number", "letter") for drill in drill_index(name))
    return tuple(sorted(drills, key=lambda drill: drill.diameter))


Drills = Annotated[tuple[Drill, ...], Like('drill_index("metric")')]


@heeds_the_usual
@declared("shop", example="Shop(contact_wheels=(25.4, 254.0))")
class Shop:
    """What stands in the workshop.

    Args:
        contact_wheels: Diameters of the contact wheels for the grinder, mm; the smallest decides what can be ground.
        drills: The drills in the index; by default fractions of an inch from 1/16 to 1/2, #60 to #1 and A to Z.
        lightening_sizes: Diameters for lightening holes; None takes the index's fractions, or all of it if it has none.
        process: Who cuts the outline.
        tolerances: How exactly the handle's layers and holes come out.
        smallest_inside_radius: Least radius of any inside corner that goes through hardening, mm.
        least_edge_before_hardening: Least thickness of the edge in the quench, mm.

    >>> from bladegeom import Process
    >>> Shop(contact_wheels=(25.4, 254.0), process=Process.named("laser")).contact_wheels
    (25.4, 254.0)
    """

    contact_wheels: Annotated[tuple[Length, ...], Items(least=1), Like("(25.4, 254.0)")] = (12.7, 25.4, 50.8, 254.0)
    drills: Annotated[Drills, Items(least=1)] = field(default_factory=boxed_set)
    lightening_sizes: Drills | None = None
    process: Process = field(default_factory=Process)
    tolerances: Tolerances = field(default_factory=Tolerances)
    smallest_inside_radius: Distance = limit(1.5, PRACTICE)
    least_edge_before_hardening: Distance = limit(0.5, f"{PRACTICE}: 0.5 to 0.8 mm for an oil quench")

    @property
    def sizes_for_lightening(self) -> tuple[Drill, ...]:
        """The drills that lightening holes are made with."""
        if self.lightening_sizes is not None:
            return self.lightening_sizes
        return tuple(drill for drill in self.drills if drill.series == "fraction") or self.drills

    def source(self, limit: str) -> str:
        """Where a limit comes from."""
        return source_of(self, limit)
