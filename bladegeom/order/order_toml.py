"""An order from a TOML file that lies beside a script. What is wrong is told in one sentence, with the line."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final, cast

from bladegeom.order.order import Change, Order, Requirement
from bladegeom.order.order_facts import Delivery, Lead, OwnMaterial, Payment, Reference, Sheath
from bladegeom.order.order_ways import Feature, Finish, HandCheck, MadeOf, Measured
from bladegeom.quantities.paths import path_of
from bladegeom.quantities.table_values import value_from_table
from bladegeom.quantities.toml_table import TomlTable, read_toml

MOST_BYTES: Final = 200_000
"""An order is shorter; own choice."""

_TABLES: Final[Mapping[str, type]] = {"sheath": Sheath, "payment": Payment, "delivery": Delivery, "lead": Lead}
"""Tables of the file of which there is one each."""

_LISTS: Final[Mapping[str, tuple[str, type]]] = {
    "requirement": ("requirements", Requirement),
    "change": ("changes", Change),
    "reference": ("references", Reference),
    "own_material": ("own_materials", OwnMaterial),
}
"""Tables of which there are many: the order's field, and the kind of its entries."""

_WAYS: Final = {
    "measure": (Measured, "measure"),
    "feature": (Feature, "what"),
    "operation": (Finish, "operation"),
    "part": (MadeOf, "part"),
    "check": (HandCheck, "look"),
}
"""Which kind of way a table is, by the key that stands in it; and what that key is called in the kind."""


def read_order(path: str | Path) -> Order:
    r"""The order in a file.

    Raises:
        UnreadableFileError: It cannot be read, is no TOML, has unknown or missing keys, or says something no order can
            say; the line is named.

    >>> path = folder / "knife.order.toml"
    >>> wish = "[[requirement]]\nnumber = 1\ntext = 'thin'\nconcerns = 'blade'\n"
    >>> _ = path.write_text(f"number = '7'\ncustomer = 'the cook'\ndate = 2026-03-01\n{wish}")
    >>> read_order(path).customer
    'the cook'
    """
    order = read_toml(path_of("read_order", path), most_bytes=MOST_BYTES, advice="that is no order")
    made: dict[str, object] = {}
    for key, kind in _TABLES.items():
        if (table := order.table(key)) is not None:
            made[key] = value_from_table(table, kind, key)
    for key, (field, kind) in _LISTS.items():
        made[field] = tuple(_entry(table, key, kind) for table in order.tables(key))
    _require_once(order.tables("requirement"))
    called = {field: f"[[{key}]]" for key, (field, _) in _LISTS.items()}
    return value_from_table(order, Order, "order", called=called, made=made)


def _entry(table: TomlTable, key: str, kind: type) -> object:
    number = table.content.get("number")
    what = key.replace("_", " ")
    told = f"{what} {number}" if isinstance(number, int) else what
    made = {"met": _ways(table, told)} if kind is Requirement and "met" in table.content else {}
    return value_from_table(table, kind, told, made=made)


def _require_once(requirements: tuple[TomlTable, ...]) -> None:
    numbers = [table.content["number"] for table in requirements]
    for i, number in enumerate(numbers):
        if number in numbers[:i]:
            raise requirements[i].error(
                f"requirement {number} stands in the order twice: give one of them another number", "number"
            )


def _ways(table: TomlTable, told: str) -> tuple[object, ...]:
    met = table.content["met"]
    if not isinstance(met, list):
        return (_way(table, told, met, ("met",)),)
    return tuple(_way(table, told, way, ("met", i)) for i, way in enumerate(met))


def _way(table: TomlTable, told: str, way: object, keys: tuple[str | int, ...]) -> object:
    if not isinstance(way, dict):
        raise table.error(f"{told}: met must hold tables such as {{ measure = 'mass', high = 180 }}", *keys)
    named = [key for key in _WAYS if key in way]
    if len(named) != 1:
        said = f"names {' and '.join(named)}" if named else f"names none of them ({', '.join(way) or 'nothing'})"
        message = f"{told}: each way in met is told by one of {', '.join(_WAYS)}; this one {said}"
        raise table.error(message, *keys)
    kind, field = _WAYS[named[0]]
    place = TomlTable(table.file, cast(Mapping[str, Any], way), (*table.path, *keys))
    return value_from_table(place, kind, f"{told}, {named[0]}", called={field: named[0]})
