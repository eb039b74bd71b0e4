"""How a steel is hardened and tempered, each number with its source; a maker may bring his own.

The steel maker's data sheet overrides every one of them; those of the tables are read by ``steel_treatments``.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from typing import Annotated

from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Between, Count, InUnit, Like, Positive, Says
from bladegeom.quantities.shown import oven_range, oven_temperature
from bladegeom.quantities.temper_advice import AvoidTemper, TemperAdvice, advise
from bladegeom.quantities.temper_table import Hardness, Temper, between, first_at_most, last_at_least, sources

HardeningC = Annotated[float, Between(600, 1300), InUnit("C")]
PreheatC = Annotated[float, Between(50, 1300), InUnit("C")]
"""Temperatures outside are a slip of the pen; own choice: no steel is treated there."""

_APART = 1e-9
"""Rows of a table lie further apart than this, C: none stands twice."""


@declared("heat treatment", example='HeatTreatment(steel="1.2842", austenitize_c=800, source="data sheet")', slots=True)
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
        oil_bath_c: Least and greatest working temperature of the oil, C; None takes what is usual.
        sheath: Whether the steel wants a foil envelope against scale and decarburisation.
        cold: Cold treatment between quench and temper, in words; empty where there is none.
        as_quenched: Hardness before tempering, if it is known.
        tempers: Rising in temperature.
        temper_count: How often it is tempered.
        avoid: Tempering temperatures to keep out of, the coolest first; they do not overlap.
        growth: Least and greatest lengthening by hardening as a share of the length, if it is known.
        conductivity_w_m_k: Heat conductivity near room temperature, if it is known.
        specific_heat_j_kg_k: Specific heat near room temperature, if it is known.
        confidence: ``"high"``, ``"medium"`` or ``"low"``; of the maker's own the highest.
        note: What else is to be known.

    Raises:
        ParameterError: A temperature that no kiln has, or a table that does not rise.

    >>> HeatTreatment(steel="1084", austenitize_c=815.0, source="data sheet").austenitize_c
    815.0
    """

    steel: str
    austenitize_c: HardeningC
    source: Annotated[str, Says("data sheet of the steel")]
    austenitize_low_c: HardeningC | None = None
    austenitize_high_c: HardeningC | None = None
    preheat_c: Annotated[tuple[PreheatC, ...], Like("(650, 850)")] = ()
    soak: str = ""
    quench: str = ""
    plates: bool = False
    oil: bool = False
    oil_bath_c: tuple[float, float] | None = None
    sheath: bool = False
    cold: str = ""
    as_quenched: Hardness | None = None
    tempers: tuple[Temper, ...] = ()
    temper_count: Count = 2
    avoid: tuple[AvoidTemper, ...] = ()
    growth: tuple[float, float] | None = None
    conductivity_w_m_k: Positive | None = None
    specific_heat_j_kg_k: Positive | None = None
    confidence: str = "high"
    note: str = ""

    def __post_init__(self) -> None:
        low, high = self.austenitize_range_c
        if not low <= self.austenitize_c <= high:
            must = f"lie in its own range, {oven_range(low, high)}"
            raise ParameterError("heat treatment: austenitize_c", oven_temperature(self.austenitize_c).text, must)
        _require_rising("temper", [(temper.celsius, temper.celsius + _APART) for temper in self.tempers])
        _require_rising("avoid", [(temper.low_c, temper.high_c) for temper in self.avoid])

    @property
    def austenitize_range_c(self) -> tuple[float, float]:
        """Least and greatest hardening temperature, C."""
        low = self.austenitize_c if self.austenitize_low_c is None else self.austenitize_low_c
        high = self.austenitize_c if self.austenitize_high_c is None else self.austenitize_high_c
        return low, high

    @property
    def falling(self) -> tuple[Temper, ...]:
        """The rows from the coolest up to where hardness stands still or rises: a hardness is looked up in these.

        Beyond a plateau lies the secondary hardening of alloyed steels, where their sheets want another treatment.
        """
        count = 1
        for a, b in itertools.pairwise(self.tempers):
            if b.hardness.hrc >= a.hardness.hrc:
                break
            count += 1
        return self.tempers[:count]

    def hardness_at(self, celsius: float) -> Hardness:
        """Hardness to expect after tempering at a temperature, straight between the two rows beside it.

        Raises:
            ParameterError: Outside the table, where nothing is known.
        """
        if not (self.tempers and self.tempers[0].celsius <= celsius <= self.tempers[-1].celsius):
            raise ParameterError("temper", oven_temperature(celsius).text, self._inside_words())
        return between(self.tempers, celsius)

    @property
    def reach(self) -> tuple[float, float] | None:
        """Least and greatest hardness in the falling part of the table, HRC; None without a table."""
        table = self.falling
        return (table[-1].hardness.hrc, table[0].hardness.hrc) if table else None

    def part_given(self, low: float, high: float) -> tuple[float, float] | None:
        """What the falling part of the table has of a hardness from low to high, HRC; None without any."""
        least, most = self.reach or (math.inf, -math.inf)
        low, high = max(low, least), min(high, most)
        return (low, high) if low <= high else None

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
        if self.part_given(low, high) != (low, high):
            raise ParameterError(f"hardness of {self.steel}", f"{low:g} to {high:g} HRC", self.given_words)
        return first_at_most(self.falling, high), last_at_least(self.falling, low)

    def advice(self, low: float, high: float) -> TemperAdvice:
        """Tempering temperatures for a hardness, kept out of the ranges to avoid, and what must be said of them.

        Args:
            low: Least wanted hardness, HRC.
            high: Greatest wanted, more than low or the same.

        Raises:
            ParameterError: The window lies, wholly or at one end, outside what the table gives.
        """
        least, most = self.temper_for(low, high)
        aim, _ = self.temper_for((low + high) / 2, (low + high) / 2)
        return advise(least, aim, most, self.avoid)

    def table_source(self, low_c: float, high_c: float) -> str:
        """Whence the rows of the tempering table come between which some temperatures lie."""
        return "; ".join(dict.fromkeys(source or self.source for source in sources(self.falling, low_c, high_c)))

    def row_words(self, temper: Temper) -> str:
        """What must be known of a row of the tempering table; empty where there is nothing."""
        if avoided := next((a for a in self.avoid if a.low_c < temper.celsius < a.high_c), None):
            return f"not from {oven_range(avoided.low_c, avoided.high_c)}"
        return "" if temper in self.falling else "beyond the fall of hardness: secondary hardening, not advised here"

    def _inside_words(self) -> str:
        if not self.tempers:
            return f"be looked up in the steel maker's data sheet: there is no tempering table for {self.steel}"
        ends = oven_range(self.tempers[0].celsius, self.tempers[-1].celsius)
        return f"lie inside the table for {self.steel}, {ends}; nothing is known outside"

    @property
    def given_words(self) -> str:
        """What hardness the table gives, as advice on one that it does not."""
        table = self.falling
        if self.reach is None:
            return f"be looked up in the steel maker's data sheet: there is no tempering table for {self.steel}"
        least, most = self.reach
        return (
            f"lie inside what the table gives, {least:g} to {most:g} HRC at "
            f"{oven_range(table[0].celsius, table[-1].celsius)}{self._beyond}; nothing is guessed outside: take "
            "a window inside it, another steel, or the steel maker's own curve of tempers"
        )

    @property
    def _beyond(self) -> str:
        if not (hotter := self.tempers[len(self.falling) :]):
            return ""
        start = oven_temperature(hotter[0].celsius)
        return (
            f" (from {start} hardness stands still or rises: secondary hardening, which wants a treatment of its own)"
        )


def _require_rising(name: str, spans: Sequence[tuple[float, float]]) -> None:
    """Each span must begin where the one before ends, or above."""
    for (low, high), (start, _) in itertools.pairwise(spans):
        if start < high:
            must = f"be more than the one before, {oven_temperature(low)}"
            raise ParameterError(f"heat treatment: {name}", oven_temperature(start).text, must)
