"""Heat treatment of a steel of the maker's own, as its file in the stockroom tells it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.heat_treatments import HeatTreatment
from bladegeom.quantities.own_materials import own_heat_table
from bladegeom.quantities.stockroom import stocked_as
from bladegeom.quantities.table_values import value_from_table
from bladegeom.quantities.temper_advice import AvoidTemper
from bladegeom.quantities.temper_table import Hardness, Temper
from bladegeom.quantities.toml_table import TomlTable

_CALLED: Final[Mapping[str, str]] = {"tempers": "[[temper]]", "avoid": "[[avoid]]", "as_quenched": "[as_quenched]"}


def own_treatment(steel: str) -> HeatTreatment | None:
    """How a steel of the maker's own is treated; None where there is no such steel, or its file does not say it.

    Raises:
        UnreadableFileError: The file is wrong; key and line are named.
    """
    table, file = own_heat_table(steel), stocked_as(steel, "steels")
    if table is None or file is None:
        return None
    made: dict[str, object] = {"steel": file.name}
    if table.tables("temper"):
        made["tempers"] = tuple(_temper(row, i) for i, row in enumerate(table.tables("temper"), start=1))
    if table.tables("avoid"):
        made["avoid"] = tuple(
            value_from_table(row, AvoidTemper, f"avoid {i}") for i, row in enumerate(table.tables("avoid"), start=1)
        )
    if (hard := table.table("as_quenched")) is not None:
        made["as_quenched"] = value_from_table(hard, Hardness, "as_quenched")
    if "steel" in table.content:
        raise table.error("heat treatment: steel is not said here: it is the name of the file", "steel")
    # The name of the steel is the file's; all else is said in the table.
    told = TomlTable(table.file, {**table.content, "steel": file.name}, table.path)
    return value_from_table(told, HeatTreatment, "heat treatment", called=_CALLED, made=made, convert=_value)


def _temper(row: TomlTable, number: int) -> Temper:
    told = f"temper {number}"
    if "celsius" not in row.content:
        raise row.error(f"{told} lacks celsius")
    rest = {key: value for key, value in row.content.items() if key != "celsius"}
    hardness = value_from_table(TomlTable(row.file, rest, row.path), Hardness, told)
    celsius = {"celsius": row.content["celsius"], "hardness": hardness}
    return value_from_table(TomlTable(row.file, celsius, row.path), Temper, told, made={"hardness": hardness})


def _value(key: str, wanted: Any, value: object) -> object:  # noqa: ARG001
    """A list as the tuple that the field takes; a pair of numbers has two."""
    if isinstance(value, list):
        if key in ("oil_bath_c", "growth") and len(value) != 2:
            raise ParameterError(key, value, "be a list of two numbers, the lower first")
        return tuple(value)
    return value
