"""A maker's price list from a TOML file. What is wrong is told in one sentence, with the line."""

from __future__ import annotations

import datetime
import types
import typing
from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any, Final

from bladegeom.price import price_items as items
from bladegeom.price.money import MOST
from bladegeom.price.price_list import PriceList
from bladegeom.quantities.errors import ParameterError, UnknownNameError
from bladegeom.quantities.paths import path_of
from bladegeom.quantities.stockroom import stocked, stocked_as, take
from bladegeom.quantities.table_values import value_from_table
from bladegeom.quantities.toml_table import TomlTable, read_toml
from bladegeom.quantities.units import length

MOST_BYTES: Final = 1_000_000
"""A price list is shorter; own choice."""

_LISTS: Final[Mapping[str, tuple[str, type]]] = {
    "bar": ("bars", items.BarPrice),
    "sheet": ("sheets", items.SheetPrice),
    "rod": ("rods", items.RodPrice),
    "consumable": ("consumables", items.Consumable),
    "outside": ("outside", items.Outside),
    "work": ("work", items.TimedWork),
    "gate": ("gates", items.Gate),
    "open": ("open", items.OpenPrice),
}
"""Lists of tables in the file: the field that each is, and the kind of its entries."""

_CALLED: Final = {field: f"[[{key}]]" for key, (field, _) in _LISTS.items()} | {
    "saw": "[saw]",
    "hardware": "[hardware]",
}


def read_prices(path: str | Path) -> PriceList:
    """The price list in a file.

    Args:
        path: The file, or the name of a price list in the stockroom of the settings in force.

    Raises:
        UnknownNameError: The stockroom has price lists, and none of that name.
        UnreadableFileError: It cannot be read, is no TOML, has unknown or missing keys, or values that no list can
            have; the line is named.

    >>> from bladegeom import starter_prices
    >>> path = folder / "prices.toml"
    >>> _ = path.write_text(starter_prices())
    >>> prices = read_prices(path)
    >>> prices.currency, str(prices.hour_rate)
    ('EUR', '42.00')
    """
    path = path_of("read_prices", path)
    # A bare word is a name in the stockroom, unless a file here has it.
    is_name = path.name == str(path) and not path.suffix and not path.exists()
    if is_name and stocked("prices"):
        if (file := stocked_as(path.name, "prices")) is None:
            raise UnknownNameError("price list of your own", path.name, (each.name for each in stocked("prices")))
        path = take(file).path
    prices = read_toml(path, most_bytes=MOST_BYTES, advice="that is no price list", parse_float=Decimal)
    made: dict[str, object] = {}
    for key, (field, kind) in _LISTS.items():
        rows = enumerate(prices.tables(key), start=1)
        made[field] = tuple(_entry(table, kind, f"{key} {i}") for i, table in rows)
    if (saw := prices.table("saw")) is not None:
        made["saw"] = _entry(saw, items.Sawing, "saw")
    if (hardware := prices.table("hardware")) is not None:
        made["hardware"] = _hardware(hardware)
    return value_from_table(prices, PriceList, "price list", called=_CALLED, made=made, convert=_value)


def _entry(table: TomlTable, kind: type, told: str) -> object:
    if "currency" in table.content:
        message = f"{told}: currency stands once at the top: all prices are in that one, so convert this price"
        raise table.error(message, "currency")
    return value_from_table(table, kind, told, convert=_value)


def _hardware(table: TomlTable) -> dict[str, Decimal]:
    out: dict[str, Decimal] = {}
    for name, price in table.content.items():
        try:
            out[name] = _amount(name, price)
        except ParameterError as error:
            raise table.error(f"hardware: {error}", name) from error
    return out


def _value(key: str, kind: Any, value: object) -> object:
    """A value as the field wants it."""
    wanted = _wanted(kind)
    if wanted is Decimal:
        return _amount(key, value)
    if wanted is float:
        return _length(key, value)
    if wanted is datetime.date and (isinstance(value, datetime.datetime) or not isinstance(value, datetime.date)):
        raise ParameterError(key, repr(value), "be a date without quotes, such as 2026-03-01")
    if wanted is int and (isinstance(value, bool) or not isinstance(value, int)):
        raise ParameterError(key, value, "be a whole number")
    if wanted is str and not isinstance(value, str):
        raise ParameterError(key, value, 'be a text in quotes, such as "1.4116"')
    if typing.get_origin(wanted) is tuple:
        if not isinstance(value, list) or not all(isinstance(text, str) for text in value):
            raise ParameterError(key, value, 'be a list of steps, such as ["cut", "drill"]')
        return tuple(value)
    return value


def _wanted(kind: Any) -> Any:
    """The type of a field, without the None of one that may be left out; a choice of words is a text."""
    if isinstance(kind, types.UnionType) or typing.get_origin(kind) is typing.Union:
        kind = next(part for part in typing.get_args(kind) if part is not type(None))
    return str if typing.get_origin(kind) is typing.Literal else kind


def _amount(key: str, value: object) -> Decimal:
    if isinstance(value, str):
        must = "be a number without quotes and without a currency: all prices are in the one currency of the list"
        raise ParameterError(key, repr(value), must)
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        raise ParameterError(key, value, "be a number, such as 12.50")
    number = Decimal(value)
    if not (number.is_finite() and 0 <= number <= MOST):
        raise ParameterError(key, value, f"be a number from 0 to {MOST}")
    return number


def _length(key: str, value: object) -> float:
    if isinstance(value, Decimal):
        value = float(value)
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise ParameterError(key, value, 'be a length, such as 2.0 or "5/32 in"')
    return length(value)
