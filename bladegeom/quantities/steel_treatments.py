"""How the steels of the table, and those of the maker's own stockroom, are hardened and tempered.

The rows stand in ``data/heat_treat.csv``; ``data/README.md`` says what their confidence means.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from bladegeom.quantities.errors import UnknownTreatmentError
from bladegeom.quantities.heat_treatments import HeatTreatment
from bladegeom.quantities.materials import row_name
from bladegeom.quantities.own_treatment import own_treatment
from bladegeom.quantities.rows import table_rows
from bladegeom.quantities.temper_advice import AvoidTemper
from bladegeom.quantities.temper_table import Hardness, Temper


def heat_treatment(steel: str) -> HeatTreatment:
    """The rows of a steel, by its name or any other that means the same.

    Raises:
        UnknownTreatmentError: It has none; nothing is guessed.
        UnreadableFileError: It is the maker's own, and its file is wrong.

    >>> heat_treatment("1.2510").austenitize_range_c
    (790.0, 815.0)
    """
    found = _treatments().get(row_name(steel)) or own_treatment(steel)
    if found is None:
        raise UnknownTreatmentError(steel, treated_steels())
    return found


def is_treated(steel: str) -> bool:
    """Whether a steel has rows."""
    return row_name(steel) in _treatments() or own_treatment(steel) is not None


def treated_steels() -> tuple[str, ...]:
    """Names of the steels that have rows, in the order of the table."""
    return tuple(_treatments())


@cache
def _treatments() -> dict[str, HeatTreatment]:
    by_steel: dict[str, list[dict[str, str]]] = {}
    for row in table_rows("heat_treat.csv"):
        by_steel.setdefault(row["steel"], []).append(row)
    return {steel: _treatment(steel, at) for steel, at in by_steel.items()}


def _treatment(steel: str, at: Sequence[dict[str, str]]) -> HeatTreatment:
    """One steel from its rows; source and confidence are those of its hardening temperature."""
    by_property = {row["property"]: row for row in at}
    hot = by_property["austenitize"]
    return HeatTreatment(
        steel=steel,
        austenitize_c=float(hot["value"]),
        austenitize_low_c=float(hot["low"]),
        austenitize_high_c=float(hot["high"]),
        source=hot["source"],
        confidence=hot["confidence"],
        note=hot["note"],
        preheat_c=tuple(float(row["value"]) for row in at if row["property"] == "preheat"),
        soak=by_property["soak"]["value"] if "soak" in by_property else "",
        quench=by_property["quench"]["value"],
        plates=by_property["plates"]["value"] == "yes",
        oil=by_property["oil"]["value"] == "yes",
        oil_bath_c=_limits(by_property.get("oil_bath")),
        sheath=by_property["sheath"]["value"] == "yes",
        cold=by_property["cold"]["value"] if "cold" in by_property else "",
        as_quenched=_hardness(by_property["as_quenched"]) if "as_quenched" in by_property else None,
        tempers=tuple(
            Temper(celsius=float(row["at_c"]), hardness=_hardness(row)) for row in at if row["property"] == "temper"
        ),
        temper_count=int(by_property["tempers"]["value"]),
        avoid=tuple(_avoid(row) for row in at if row["property"] == "avoid"),
        growth=_limits(by_property.get("growth")),
        conductivity_w_m_k=_number(by_property.get("conductivity")),
        specific_heat_j_kg_k=_number(by_property.get("specific_heat")),
    )


def _avoid(row: dict[str, str]) -> AvoidTemper:
    return AvoidTemper(low_c=float(row["low"]), high_c=float(row["high"]), why=row["note"], source=_source(row))


def _source(row: dict[str, str]) -> str:
    return f"{row['source']}; confidence {row['confidence']}"


def _limits(row: dict[str, str] | None) -> tuple[float, float] | None:
    return (float(row["low"]), float(row["high"])) if row else None


def _hardness(row: dict[str, str]) -> Hardness:
    low, high = float(row["low"]), float(row["high"])
    return Hardness(hrc=float(row["value"]), low=low, high=high, source=_source(row))


def _number(row: dict[str, str] | None) -> float | None:
    return float(row["value"]) if row else None
