"""Whether the metal of a sleeve or bolt is hard or soft to a thread."""

from __future__ import annotations

from typing import Annotated, Final

from bladegeom.quantities.field_rules import KnownWord
from bladegeom.quantities.materials import Material
from bladegeom.quantities.screw_holes import TAPPED_METALS

_HARD: Final = {"C36000", "C26000", "C75200", "C51000", "C54400", "Ti-6Al-4V"}
"""Metals that hold a thread like steel.

Source: brass as the table of engagement has it; nickel silver and phosphor bronze, no softer in hard rod, and the
titanium alloy, stronger than mild steel, own choice.
"""


Tapped = Annotated[str, KnownWord("tapped metal", TAPPED_METALS)] | None
"""What a maker declares of it; None leaves it to the material."""


def tapped_metal(declared: str | None, metal: Material) -> str:
    """What a maker declares, or else by the material: "hard" for any steel and the metals named here, else "soft"."""
    return declared or ("hard" if metal.kind == "steel" or metal.name in _HARD else "soft")
