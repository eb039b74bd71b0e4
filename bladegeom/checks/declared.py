"""What was declared, against sensible ranges and against what is known."""

from __future__ import annotations

from collections.abc import Iterator

from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.outline.parameter import outside_range


@rule(
    Code("parameter-range", ("warning",), "a profile's parameter is outside its sensible range"),
    Code("density-unsure", ("note",), "the density of a material is not well known"),
)
def check_declared(knife: Knife) -> Iterator[Finding]:
    """Parameters outside their sensible range, and densities that are only half known."""
    for profile in knife.outline.profiles:
        for p, value in outside_range(profile):
            yield Finding(
                code="parameter-range",
                severity="warning",
                part="blade",
                message=(
                    f"{p.name} of {type(profile).__name__} is {value:g} {p.unit}, outside its sensible range, "
                    f"{p.low:g} to {p.high:g} {p.unit} ({p.meaning}); look at the drawing"
                ),
                measured=value,
                limit=p.low if value < p.low else p.high,
                source="the profile's own range",
            )
    declared = [("blade", knife.stock.material)]
    if knife.scales is not None:
        declared.append(("scales", knife.scales.material))
        declared += [("liner", liner.material) for liner in knife.scales.liners]
    declared += [made_of for fastener in knife.fasteners for made_of in fastener.hardware.materials]
    for part, material in dict.fromkeys(declared):
        if material.confidence == "low":
            yield Finding(
                code="density-unsure",
                severity="note",
                part=part,
                message=(
                    f"the density of {material.name}, {material.density_g_cm3:g} g/cm3, is not well known "
                    f"({material.low:g} to {material.high:g}); weigh a piece and give the shop's own Material"
                ),
                measured=material.density_g_cm3,
                limit=None,
                source=material.source,
            )
