"""How a steel is hardened and tempered, each number with its source; a maker may bring his own.

The rows stand in ``data/heat_treat.csv``; ``data/README.md`` says what their confidence means. The steel maker's data
sheet overrides every one of them.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from bladegeom.quantities.errors import ParameterError, UnknownTreatmentError
from bladegeom.quantities.rows import check_positive, rows
from bladegeom.quantities.temper_table import Hardness, Temper, between, first_at_most, last_at_least
from bladegeom.quantities.temperature import show_temperature, show_temperatures

_HARDENING = (600.0, 1300.0)
_TEMPERING = (50.0, 750.0)
"""Hardening and tempering temperatures outside are a slip of the pen, C; own choice: no steel is treated there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatTreatment:
    """Hardening and tempering of one steel, as its maker's data sheet tells it.

    Args:
        steel: Its name.
        austenitize_c: Hardening temperature, C.
        source: Where the numbers come from.
        austenitize_low_c: Least hardening temperature; None is the same.
        austenitize_high_c: Greatest; None is the same.
        preheat_c: Stops on the way up, C.
        soak: How long at the hardening temperature, in words.
        quench: In what, in words.
        plates: Whether clamping between cold plates is among the ways.
        oil: Whether oil is.
        sheath: Whether the steel wants a foil envelope against scale and decarburisation.
        cold: Cold treatment between quench and temper, in words; empty where there is none.
        as_quenched: Hardness before tempering, if it is known.
        tempers: Rising in temperature.
        temper_count: How often it is tempered.
        growth: Least and greatest lengthening by hardening as a share of the length, if it is known.
        conductivity_w_m_k: Heat conductivity near room temperature, if it is known.
        specific_heat_j_kg_k: Specific heat near room temperature, if it is known.
        confidence: ``"high"``, ``"medium"`` or ``"low"``; of the maker's own the highest.
        note: What else is to be known.

    Raises:
        ParameterError: A temperature that no kiln has, or a table that does not rise.
    """

    steel: str
    austenitize_c: float
    source: str
    austenitize_low_c: float | None = None
    austenitize_high_c: float | None = None
    preheat_c: tuple[float, ...] = ()
    soak: str = ""
    quench: str = ""
    plates: bool = False
    oil: bool = False
    sheath: bool = False
    cold: str = ""
    as_quenched: Hardness | None = None
    tempers: tuple[Temper, ...] = ()
    temper_count: int = 2
    growth: tuple[float, float] | None = None
    conductivity_w_m_k: float | None = None
    specific_heat_j_kg_k: float | None = None
    confidence: str = "high"
    note: str = ""

    def __post_init__(self) -> None:
        if not self.source.strip():
            raise ParameterError("heat treatment: source", repr(self.source), "say where the numbers come from")
        low, high = self.austenitize_range_c
        _require_inside("austenitize_c", _HARDENING, (low, self.austenitize_c, high))
        _require_inside("temper", _TEMPERING, tuple(one.celsius for one in self.tempers))
        _require_inside("preheat_c", (_TEMPERING[0], _HARDENING[1]), self.preheat_c)
        if not low <= self.austenitize_c <= high:
            must = f"lie in its own range, {show_temperatures(low, high)}"
            raise ParameterError("heat treatment: austenitize_c", show_temperature(self.austenitize_c), must)
        for a, b in itertools.pairwise(self.tempers):
            if not a.celsius < b.celsius:
                must = f"be more than the one before, {show_temperature(a.celsius)}"
                raise ParameterError("heat treatment: temper", show_temperature(b.celsius), must)
        for value in (self.conductivity_w_m_k, self.specific_heat_j_kg_k):
            if value is not None:
                check_positive("heat treatment: conductivity and specific heat", value)

    @property
    def austenitize_range_c(self) -> tuple[float, float]:
        """Least and greatest hardening temperature, C."""
        low = self.austenitize_c if self.austenitize_low_c is None else self.austenitize_low_c
        high = self.austenitize_c if self.austenitize_high_c is None else self.austenitize_high_c
        return low, high

    @property
    def falling(self) -> tuple[Temper, ...]:
        """The rows from the coolest up to where hardness rises again: a wanted hardness is looked up among these.

        Above lies the secondary hardening of alloyed steels, where their sheets want another treatment.
        """
        count = 1
        for a, b in itertools.pairwise(self.tempers):
            if b.hardness.hrc > a.hardness.hrc:
                break
            count += 1
        return self.tempers[:count]

    def hardness_at(self, celsius: float) -> Hardness:
        """Hardness to expect after tempering at a temperature, straight between the two rows beside it.

        Raises:
            ParameterError: Outside the table, where nothing is known.
        """
        if not (self.tempers and self.tempers[0].celsius <= celsius <= self.tempers[-1].celsius):
            raise ParameterError("temper", show_temperature(celsius), self._inside_words())
        return between(self.tempers, celsius)

    def gives(self, low: float, high: float) -> bool:
        """Whether the falling part of the table spans a hardness from low to high, HRC."""
        table = self.falling
        return bool(table) and table[-1].hardness.hrc <= low <= high <= table[0].hardness.hrc

    def temper_for(self, low: float, high: float) -> tuple[float, float]:
        """Tempering temperatures that give a hardness from low to high, by the middle values of the table, C.

        Args:
            low: Least wanted hardness, HRC.
            high: Greatest wanted, more than low or the same.

        Raises:
            ParameterError: The window lies, wholly or at one end, outside what the table gives.
        """
        if not low <= high:
            raise ParameterError("hardness", f"{low:g} to {high:g} HRC", "be told with the lower number first")
        table = self.falling
        if not self.gives(low, high):
            raise ParameterError(f"hardness of {self.steel}", f"{low:g} to {high:g} HRC", self.given_words)
        return first_at_most(table, high), last_at_least(table, low)

    def _inside_words(self) -> str:
        if not self.tempers:
            return f"be looked up in the steel maker's data sheet: there is no tempering table for {self.steel}"
        first, last = self.tempers[0].celsius, self.tempers[-1].celsius
        return f"lie inside the table for {self.steel}, {show_temperatures(first, last)}; nothing is known outside"

    @property
    def given_words(self) -> str:
        """What hardness the table gives, as advice on one that it does not."""
        table = self.falling
        if not table:
            return f"be looked up in the steel maker's data sheet: there is no tempering table for {self.steel}"
        most, least = table[0].hardness.hrc, table[-1].hardness.hrc
        return (
            f"lie inside what the table gives, {least:g} to {most:g} HRC at "
            f"{show_temperatures(table[0].celsius, table[-1].celsius)}; nothing is guessed outside: take a window "
            "inside it, another steel, or the steel maker's own curve as HeatTreatment(..., tempers=...)"
        )


def _require_inside(name: str, limits: tuple[float, float], temperatures: Sequence[float]) -> None:
    for celsius in temperatures:
        if not limits[0] <= celsius <= limits[1]:
            must = f"lie between {show_temperatures(*limits)}; all temperatures are in C"
            raise ParameterError(f"heat treatment: {name}", f"{celsius:g} C", must)


def heat_treatment(steel: str) -> HeatTreatment:
    """The rows of a steel, by its name in the table of materials.

    Raises:
        UnknownTreatmentError: It has none; nothing is guessed.

    >>> heat_treatment("O1").austenitize_range_c
    (790.0, 815.0)
    """
    found = _treatments().get(steel)
    if found is None:
        raise UnknownTreatmentError(steel, treated_steels())
    return found


def treated_steels() -> tuple[str, ...]:
    """Names of the steels that have rows, in the order of the table."""
    return tuple(_treatments())


@cache
def _treatments() -> dict[str, HeatTreatment]:
    by_steel: dict[str, list[dict[str, str]]] = {}
    for row in rows("heat_treat.csv"):
        by_steel.setdefault(row["steel"], []).append(row)
    return {steel: _treatment(steel, at) for steel, at in by_steel.items()}


def _treatment(steel: str, at: Sequence[dict[str, str]]) -> HeatTreatment:
    """One steel from its rows; source and confidence are those of its hardening temperature."""
    one = {row["property"]: row for row in at}
    hot = one["austenitize"]
    grown = one.get("growth")
    return HeatTreatment(
        steel=steel,
        austenitize_c=float(hot["value"]),
        austenitize_low_c=float(hot["low"]),
        austenitize_high_c=float(hot["high"]),
        source=hot["source"],
        confidence=hot["confidence"],
        note=hot["note"],
        preheat_c=tuple(float(row["value"]) for row in at if row["property"] == "preheat"),
        soak=one["soak"]["value"],
        quench=one["quench"]["value"],
        plates=one["plates"]["value"] == "yes",
        oil=one["oil"]["value"] == "yes",
        sheath=one["sheath"]["value"] == "yes",
        cold=one["cold"]["value"] if "cold" in one else "",
        as_quenched=_hardness(one["as_quenched"]),
        tempers=tuple(
            Temper(celsius=float(row["at_c"]), hardness=_hardness(row)) for row in at if row["property"] == "temper"
        ),
        temper_count=int(one["tempers"]["value"]),
        growth=(float(grown["low"]), float(grown["high"])) if grown else None,
        conductivity_w_m_k=_number(one.get("conductivity")),
        specific_heat_j_kg_k=_number(one.get("specific_heat")),
    )


def _hardness(row: dict[str, str]) -> Hardness:
    return Hardness(hrc=float(row["value"]), low=float(row["low"]), high=float(row["high"]))


def _number(row: dict[str, str] | None) -> float | None:
    return float(row["value"]) if row else None
