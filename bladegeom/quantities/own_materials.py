"""What the file of a material in the stockroom says."""

from __future__ import annotations

from typing import Annotated, Final

from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Above, InUnit, Says
from bladegeom.quantities.stockroom import MOST_BYTES, Stocked, stocked_as
from bladegeom.quantities.table_values import value_from_table
from bladegeom.quantities.toml_table import TomlTable, read_toml

OWN_KINDS: Final = {
    "steels": "steel",
    "laminates": "laminate",
    "woods": "wood",
    "metals": "metal",
    "polymers": "polymer",
}
"""Shelves of materials, and the kind of what lies there."""

_HEAT: Final = "heat_treatment"

Density = Annotated[float, Above(0), InUnit("g/cm3")]


@declared("material in the stockroom", example='FiledMaterial(density_g_cm3=7.8, source="weighed")')
class FiledMaterial:
    """A material as a file tells it; its name is the file's.

    Args:
        density_g_cm3: More than 0.
        source: Where the density comes from.
        low: Least density; None is the same.
        high: Greatest; None is the same.
        note: What else is to be known.

    >>> FiledMaterial(density_g_cm3=7.8, source="weighed").span
    (7.8, 7.8)
    """

    density_g_cm3: Density
    source: Annotated[str, Says("a bar that was weighed and measured")]
    low: Density | None = None
    high: Density | None = None
    note: str = ""

    def __post_init__(self) -> None:
        low, high = self.span
        if not low <= self.density_g_cm3 <= high:
            must = f"lie between low and high, {low:g} to {high:g} g/cm3"
            raise ParameterError("material in the stockroom: density_g_cm3", f"{self.density_g_cm3:g} g/cm3", must)

    @property
    def span(self) -> tuple[float, float]:
        """Least and greatest density, g/cm3."""
        low = self.density_g_cm3 if self.low is None else self.low
        return low, self.density_g_cm3 if self.high is None else self.high


def read_filed_material(file: Stocked) -> FiledMaterial:
    """What the file of a material says.

    Raises:
        UnreadableFileError: It cannot be read, or says what no material can have; key and line are named.
    """
    whole = _read(file)
    if "source" not in whole.content:
        kind = OWN_KINDS[file.shelf]
        raise whole.error(f'{kind} lacks source; say where its density comes from: source = "weighed and measured"')
    content = {key: value for key, value in whole.content.items() if file.shelf != "steels" or key != _HEAT}
    return value_from_table(TomlTable(whole.file, content), FiledMaterial, OWN_KINDS[file.shelf])


def own_heat_table(steel: str) -> TomlTable | None:
    """The table ``[heat_treatment]`` of a steel of the maker's own; None where there is no such steel or table."""
    file = stocked_as(steel, "steels")
    return None if file is None else _read(file).table(_HEAT)


def _read(file: Stocked) -> TomlTable:
    return read_toml(file.path, most_bytes=MOST_BYTES, advice="that is no material")
