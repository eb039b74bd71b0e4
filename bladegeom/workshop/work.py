"""What a maker settles about the work itself, besides the design: hardness, glue, plates, finish, mark, etch."""

from __future__ import annotations

from dataclasses import field
from typing import Annotated

from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Above, Between, InUnit, Like
from bladegeom.quantities.heat_treatments import HeatTreatment
from bladegeom.quantities.steel_treatments import heat_treatment, is_treated
from bladegeom.workshop.operation import PRACTICE
from bladegeom.workshop.quench import Plates

Hrc = Annotated[float, Between(20, 70), InUnit("HRC")]
"""Rockwell C begins at 20 and a diamond cone tells nothing above 70 (ISO 6508-1)."""


@declared("glue", example="Glue(clamp_hours=8, cure_hours=24, source='data sheet')")
class Glue:
    """An adhesive with the times of its data sheet.

    Args:
        name: By kind, without a brand.
        open_minutes: From mixing until nothing may be moved any more, at 20 C.
        clamp_hours: Until the clamps may come off.
        cure_hours: Until the handle may be shaped.
        source: Of the times.

    >>> Glue(clamp_hours=8.0, cure_hours=24.0, source="data sheet").clamp_hours
    8.0
    """

    name: str = "two-part epoxy, slow"
    open_minutes: Annotated[float, Above(0), InUnit("minutes")] = 30.0
    clamp_hours: Annotated[float, Above(0), InUnit("hours")] = 12.0
    cure_hours: Annotated[float, Above(0), InUnit("hours")] = 24.0
    source: str = f"{PRACTICE}; the adhesive's own data sheet comes first"

    def __post_init__(self) -> None:
        if self.cure_hours < self.clamp_hours:
            raise ParameterError(
                "glue: cure_hours", f"{self.cure_hours:g} h", f"be at least the clamp hours, {self.clamp_hours:g} h"
            )


@declared("work", example='Work(finish="satin")')
class Work:
    """How this knife is to be made.

    Args:
        hardness: Wanted after tempering, from least to greatest, HRC; None leaves it to the table.
        treatment: The steel maker's own numbers; None takes the rows of the table.
        plates: For a quench between plates; None tells the least that will do.
        glue: For the handle.
        finish: Of the blade's surface, in words.
        mark: How the mark is made, such as "engraved" or "electro-etched".
        etch: What the blade is etched or darkened with, in words; empty does not etch.

    >>> Work(hardness=(58, 60), finish="satin").hardness
    (58.0, 60.0)
    """

    hardness: Annotated[tuple[Hrc, Hrc], Like("(58, 60)")] | None = None
    treatment: HeatTreatment | None = None
    plates: Plates | None = None
    glue: Glue = field(default_factory=Glue)
    finish: str = ""
    mark: str = ""
    etch: str = ""

    def treatment_of(self, steel: str) -> HeatTreatment | None:
        """How a steel is hardened: the maker's own numbers, else the table's; None where nobody knows."""
        return self.treatment or (heat_treatment(steel) if is_treated(steel) else None)

    def __post_init__(self) -> None:
        if self.hardness is not None and self.hardness[0] > self.hardness[1]:
            low, high = self.hardness
            raise ParameterError("work: hardness", f"({low:g}, {high:g})", "be told with the lower number first")
