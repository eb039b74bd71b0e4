"""Materials, drills and paper sizes by the names a shop uses, each with its source.

The rows stand in ``data/*.csv``; ``data/README.md`` says what their confidence means.
"""

from __future__ import annotations

import re
import string
from fractions import Fraction
from functools import cache
from typing import Annotated, Final

from bladegeom.quantities.composition import Content, content, is_stainless, read_composition
from bladegeom.quantities.declared import declared
from bladegeom.quantities.designations import designation_key, named_in, neighbours
from bladegeom.quantities.errors import ParameterError, QuantityError, UnknownNameError
from bladegeom.quantities.field_rules import Above, Becomes, InUnit, KnownWord, Length
from bladegeom.quantities.rows import table_rows
from bladegeom.quantities.units import length

MATERIAL_KINDS: Final = ("steel", "metal", "laminate", "fibre", "wood", "horn-bone", "polymer", "adhesive")
SWELLS: Final = ("wood", "horn-bone", "fibre")
"""Kinds that take up water, swell and shrink with the air."""
DRILL_SERIES: Final = ("fraction", "number", "letter", "metric")

_DRILL_INDEXES: Final = {
    "fractional": tuple(str(Fraction(n, 64)) for n in range(4, 33)),
    "number": tuple(f"#{n}" for n in range(60, 0, -1)),
    "letter": tuple(string.ascii_uppercase),
    "metric": tuple(f"{n / 2:g} mm" for n in range(2, 27)),
}
"""Source: common practice, no source (which sizes a boxed set spans)."""

_MOST_MEANT: Final = 5
"""Of the rows that a common name may mean no more are told: own choice."""

_SAME_DIAMETER: Final = 1e-9
"""Drills closer than this, mm, are one size: far below any real step, far above the rounding of a float."""


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


@declared("drill", example='drill("1/4")', slots=True)
class Drill:
    """A twist drill of a standard series (one of :data:`DRILL_SERIES`); diameter in mm.

    >>> from bladegeom import drill
    >>> drill("1/4").diameter
    6.35
    """

    name: str
    series: Annotated[str, KnownWord("drill series", DRILL_SERIES)]
    diameter: Length
    source: str
    confidence: str


@declared("paper", example='paper("A4")', slots=True)
class Paper:
    """A sheet held upright; width and height in mm.

    >>> letter = paper("Letter")
    >>> letter.width, letter.height
    (215.9, 279.4)
    """

    name: str
    width: Length
    height: Length
    source: str

    def __post_init__(self) -> None:
        if self.width > self.height:
            raise ParameterError("paper: width", f"{self.width:g} mm", f"be at most the height, {self.height:g} mm")


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

    >>> material("nema g10").density_g_cm3, material("90MnCrV8").name
    (1.8, '1.2842')
    """
    if isinstance(name, Material):
        return name
    if not isinstance(name, str):
        raise ParameterError("material", repr(name), "be a name in quotes, such as '1.4116', or a Material")
    found = _materials_by_key().get(designation_key(name))
    if found is None:
        raise _unknown_material(name, kinds)
    return found


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
    # A common name, such as brass or maple, stands in the notes of the rows that it may mean.
    meant = [row.name for row in usable if named_in(f"{row.note} {'; '.join(row.also)}", name.split())]
    near = neighbours(name, {called: row.kind for row in usable for called in (row.name, *row.also)})
    return UnknownNameError("material", name, (row.name for row in usable), near=meant[:_MOST_MEANT] or near)


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


def drill(name: str | float) -> Drill:
    """The drill of that name, or else of that diameter.

    Args:
        name: ``"1/4"``, ``"#7"``, ``"F"``, ``"6.5 mm"``; or a diameter, as text or as a number in mm.

    Raises:
        UnknownNameError: No standard drill has that name or diameter.
        QuantityError: A number that is no length.

    >>> drill("#7").diameter, drill(6.5).name, drill("0.257 in").name
    (5.1054, '6.5 mm', 'F')
    """
    # Ten digits write a number as the table does, and so 12.7 finds the metric drill before the 1/2 in one.
    text = name if isinstance(name, str) else f"{length(name):.10g} mm"
    found = _drills_by_key().get(_drill_key(text)) or _drill_of_diameter(text)
    if found is None:
        raise UnknownNameError("drill", text, (known.name for known in drills()))
    return found


@cache
def drills(*series: str) -> tuple[Drill, ...]:
    """The drills of the given series, or of all; thinnest first, and of equal ones the fraction first.

    Raises:
        UnknownNameError: No such series.
    """
    for name in series:
        if name not in DRILL_SERIES:
            raise UnknownNameError("drill series", name, DRILL_SERIES)
    table = (
        Drill(
            name=row["name"],
            series=row["series"],
            diameter=float(row["diameter"]),
            source=row["source"],
            confidence=row["confidence"],
        )
        for row in table_rows("drills.csv")
        if not series or row["series"] in series
    )
    return tuple(sorted(table, key=lambda bit: (bit.diameter, DRILL_SERIES.index(bit.series))))


def drill_index(name: str) -> tuple[Drill, ...]:
    """The drills of a boxed set, thinnest first.

    Args:
        name: ``"fractional"`` (1/16 to 1/2 in by 64ths), ``"number"`` (#60 to #1), ``"letter"`` (A to Z) or
            ``"metric"`` (1 to 13 mm by 0.5).

    Raises:
        UnknownNameError: No such set.

    Source:
        The span of each set: common practice, no source.

    >>> index = drill_index("metric")
    >>> index[0].name, len(index)
    ('1 mm', 25)
    """
    sizes = _DRILL_INDEXES.get(name.strip().lower())
    if sizes is None:
        raise UnknownNameError("drill index", name, _DRILL_INDEXES)
    return tuple(drill(size) for size in sizes)


def paper(name: str) -> Paper:
    """The paper size of that name, upright; case and spaces do not matter.

    Raises:
        UnknownNameError: No row has that name.

    >>> paper("a4").width, paper("Letter").height
    (210.0, 279.4)
    """
    found = _papers_by_key().get(_key(name))
    if found is None:
        raise UnknownNameError("paper", name, (known.name for known in _papers_by_key().values()))
    return found


@cache
def _materials_by_key() -> dict[str, Material]:
    return {designation_key(called): row for row in materials() for called in (row.name, *row.also)}


@cache
def _drills_by_key() -> dict[str, Drill]:
    return {_drill_key(bit.name): bit for bit in drills()}


@cache
def _papers_by_key() -> dict[str, Paper]:
    return {
        _key(row["name"]): Paper(
            name=row["name"], width=float(row["width"]), height=float(row["height"]), source=row["source"]
        )
        for row in table_rows("papers.csv")
    }


def _drill_of_diameter(text: str) -> Drill | None:
    try:
        diameter = length(text)
    except QuantityError:  # not a length either: then it is an unknown name
        return None
    return next((bit for bit in drills() if abs(bit.diameter - diameter) <= _SAME_DIAMETER), None)


def _key(name: str) -> str:
    """Lower case, without spaces and hyphens."""
    return re.sub(r"[\s-]", "", name.lower())


def _drill_key(name: str) -> str:
    """Without spaces only: a hyphen in '1-1/4' or '-3 mm' has a meaning."""
    return re.sub(r"\s", "", name.lower())
