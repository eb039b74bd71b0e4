"""What to mind for the sake of lungs, hands and the workshop, by what a knife is made of.

The usual cautions of the trade, no more: local rules, data sheets and licensed practice come first.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from bladegeom.knife.knife import Knife
from bladegeom.quantities.materials import Material

DUST: Final = (
    "Dust of carbon and glass fibre, phenolic, horn, shell and many woods harms: wet or extracted, none of it home.",
    "Respirator that fits, P100 or FFP3 (P3); with phenolic a filter for organic vapour too; local rules come first.",
)
"""Source: common practice, no source; the classes are those of 42 CFR 84, EN 149 and EN 143."""

CARBON: Final = "Carbon-fibre dust conducts: keep it out of motors and switches. Its splinters stay in the skin."
"""Source: common practice, no source."""

TITANIUM: Final = (
    "Titanium dust and swarf burn white-hot: sharp tools, slow, chips swept up at once into a closed metal tin.",
    "Never water, CO2 or a common powder on burning titanium: dry sand or salt, or class D; get out, call for help.",
    "No steel sparks and no wood dust where titanium dust lies: machine and extraction cleaned out first.",
)
"""Source: accident 43330 of the ARIA database (sparks from beside it, water unfit, smothered with sand); the rest
common practice, no source."""


def is_titanium(material: Material) -> bool:
    """Whether a material is titanium or an alloy of it, by its name."""
    name = material.name.lower()
    return name.startswith("ti-") or "titan" in name


def blade_cautions(knife: Knife) -> tuple[str, ...]:
    """For every step that takes chips or dust off the blade."""
    return TITANIUM if is_titanium(knife.stock.material) else ()


def handle_cautions(knife: Knife) -> tuple[str, ...]:
    """For every step that takes dust off scales, liners and hardware."""
    made_of = tuple(_handle_materials(knife))
    return (
        *DUST,
        *(
            (CARBON,)
            if any("carbon" in material.name.lower() and material.kind == "laminate" for material in made_of)
            else ()
        ),
        *(TITANIUM if any(is_titanium(material) for material in made_of) else ()),
    )


def _handle_materials(knife: Knife) -> Iterator[Material]:
    if knife.scales is not None:
        yield knife.scales.material
        yield from (liner.material for liner in knife.scales.liners)
    for fastener in knife.fasteners:
        yield from (material for _, material in fastener.hardware.materials)
    # Grinding the scales flush takes dust off the tang's rim as well.
    yield knife.stock.material
