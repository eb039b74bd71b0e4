"""Materials by the names a shop uses, each with its source.

The rows stand in ``data/*.csv``; ``data/README.md`` says what their confidence means.
"""

from __future__ import annotations

from functools import cache
from typing import Annotated, Final

from bladegeom.quantities.composition import Content, content, is_stainless, read_composition
from bladegeom.quantities.declared import declared
from bladegeom.quantities.designations import designation_key, named_in, neighbours
from bladegeom.quantities.errors import ParameterError, UnknownNameError
from bladegeom.quantities.field_rules import Above, Becomes, InUnit, KnownWord
from bladegeom.quantities.own_materials import OWN_KINDS, read_filed_material
from bladegeom.quantities.rows import table_rows
from bladegeom.quantities.stockroom import Stocked, stocked, stocked_as, take
from bladegeom.quantities.told import told

MATERIAL_KINDS: Final = ("steel", "metal", "laminate", "fibre", "wood", "horn-bone", "polymer", "adhesive")
SWELLS: Final = ("wood", "horn-bone", "fibre")
"""Kinds that take up water, swell and shrink with the air."""

_MOST_MEANT: Final = 5
"""Of the rows that a common name may mean no more are told: own choice."""


@declared("material", example='Material(name="shop steel", kind="steel", density_g_cm3=7.8, ...)', slots=True)
class Material:
    """What a part is made of; a shop may bring its own.

    Args:
        name: As the trade calls it, without a brand.
        kind: One of :data:`MATERIAL_KINDS`.
        density_g_cm3: Finite and > 0.
        low: Least published density, g/cm3.
        high: Greatest published density, g/cm3.
        source: Where the numbers come from.
        confidence: ``"high"``, ``"medium"`` or ``"low"``.
        note: Common name, and what else is to be known.
        also: Other designations of the same material; what is only near stands in the note.
        composition: Of an alloy, by its standard; empty where it is not told.

    >>> steel = material("1.4116")
    >>> steel.kind, steel.density_g_cm3
    ('steel', 7.7)
    """

    name: str
    kind: Annotated[str, KnownWord("material kind", MATERIAL_KINDS)]
    density_g_cm3: Annotated[float, Above(0), InUnit("g/cm3")]
    low: float
    high: float
    source: str
    confidence: str
    note: str = ""
    also: tuple[str, ...] = ()
    composition: tuple[Content, ...] = ()

    def __post_init__(self) -> None:
        if not self.low <= self.density_g_cm3 <= self.high:
            must = f"lie between low and high, {self.low:g} to {self.high:g} g/cm3"
            raise ParameterError("material: density_g_cm3", f"{self.density_g_cm3:g} g/cm3", must)

    def content(self, element: str) -> tuple[float, float]:
        """Least and greatest per cent of an element; none of what the composition does not name."""
        return content(self.composition, element)

    @property
    def stainless(self) -> bool | None:
        """Whether a steel is stainless by its chromium and carbon; None where its composition is not told."""
        return is_stainless(self.composition) if self.kind == "steel" and self.composition else None


def material(name: str | Material, *kinds: str) -> Material:
    """The material of that name or of one that means the same; case, spaces, hyphens and AISI, EN, NEMA do not matter.

    Args:
        name: ``"1084"``, ``"AISI O1"``, ``"EN 1.4116"``, ``"X50CrMoV15"``, ``"G10"``, ``"Juglans nigra"``; or a
            Material, which is handed back as it is.
        kinds: Those that are of use here: no other is suggested for a name that is not known. None is all.

    Raises:
        UnknownNameError: No row has that name; a common name such as "brass" is answered with the rows it may mean,
            another with its neighbours of the same kind.
        ParameterError: It is no name.
        UnreadableFileError: It is the maker's own, and its file is wrong or has the name of what is built in.

    >>> material("nema g10").density_g_cm3, material("90MnCrV8").name
    (1.8, '1.2842')
    """
    if isinstance(name, Material):
        return name
    if not isinstance(name, str):
        raise ParameterError("material", told(name), "be a name in quotes, such as '1.4116', or a Material")
    found, file = _materials_by_key().get(designation_key(name)), stocked_as(name, *OWN_KINDS)
    if file is not None:
        return filed_material(take(file))
    if found is None:
        raise _unknown_material(name, kinds)
    return found


def filed_material(file: Stocked) -> Material:
    """A material of the maker's own.

    Raises:
        UnreadableFileError: Its file is wrong, or has the name of what is built in.
    """
    if (hidden := _materials_by_key().get(designation_key(file.name))) is not None:
        file.refuse_hiding(hidden.name)
    told = read_filed_material(file)
    return Material(
        name=file.name,
        kind=OWN_KINDS[file.shelf],
        density_g_cm3=told.density_g_cm3,
        low=told.span[0],
        high=told.span[1],
        source=f"your own, {file.place}: {told.source}",
        confidence="high",
        note=told.note,
    )


def own_kinds() -> dict[str, str]:
    """The names of the maker's own materials, each with its kind; none of their files is read."""
    return {file.name: OWN_KINDS[file.shelf] for file in stocked(*OWN_KINDS)}


AnyMaterial = Annotated[str | Material, Becomes(material)]
"""A name from the table of materials, or a Material of the shop's own."""


def row_name(name: str) -> str:
    """The name of the row that a designation means; of one that no row has, its key, so that forms can be compared.

    >>> row_name("En 1.2510"), row_name("shop steel 7")
    ('O1', 'shopsteel7')
    """
    found = _materials_by_key().get(designation_key(name))
    return designation_key(name) if found is None else found.name


def _unknown_material(name: str, kinds: tuple[str, ...]) -> UnknownNameError:
    usable = [row for row in materials() if not kinds or row.kind in kinds]
    own = {called: kind for called, kind in own_kinds().items() if not kinds or kind in kinds}
    # A common name, such as brass or maple, stands in the notes of the rows that it may mean.
    meant = [row.name for row in usable if named_in(f"{row.note} {'; '.join(row.also)}", name.split())]
    near = neighbours(name, {called: row.kind for row in usable for called in (row.name, *row.also)} | own)
    return UnknownNameError("material", name, (*own, *(row.name for row in usable)), near=meant[:_MOST_MEANT] or near)


@cache
def materials() -> tuple[Material, ...]:
    """All materials, in the order of the table."""
    return tuple(
        Material(
            name=row["name"],
            kind=row["kind"],
            density_g_cm3=float(row["density_g_cm3"]),
            low=float(row["low"]),
            high=float(row["high"]),
            source=row["source"],
            confidence=row["confidence"],
            note=row["note"],
            also=tuple(alias.strip() for alias in row["also"].split(";") if alias.strip()),
            composition=read_composition(row["composition"]),
        )
        for row in table_rows("materials.csv")
    )


@cache
def _materials_by_key() -> dict[str, Material]:
    return {designation_key(called): row for row in materials() for called in (row.name, *row.also)}
