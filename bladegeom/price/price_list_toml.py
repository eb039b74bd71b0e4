"""A maker's price list from a TOML file. What is wrong is told in one sentence."""

from __future__ import annotations

import dataclasses
import datetime
import tomllib
import types
import typing
from collections.abc import Mapping
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any, Final

from bladegeom.price import price_items as items
from bladegeom.price.money import MOST
from bladegeom.price.price_list import PriceList
from bladegeom.quantities.errors import BladegeomError, ScriptError, UnknownNameError
from bladegeom.quantities.units import length

MOST_BYTES: Final = 1_000_000
"""A price list is shorter; own choice."""

_LISTS: Final[Mapping[str, tuple[str, type]]] = {
    "bar": ("bars", items.BarPrice),
    "sheet": ("sheets", items.SheetPrice),
    "rod": ("rods", items.RodPrice),
    "consumable": ("consumables", items.Consumable),
    "outside": ("outside", items.Outside),
    "work": ("work", items.Work),
    "gate": ("gates", items.Gate),
    "open": ("open", items.OpenPrice),
}
"""Lists of tables in the file: the field that each is, and the kind of its entries."""

_TABLES: Final = {*_LISTS, "saw", "hardware"}


def read_prices(path: Path) -> PriceList:
    """The price list in a file.

    Raises:
        ScriptError: It cannot be read, is no TOML, has unknown or missing keys, or values that no list can have.
    """
    content = _parsed(path)
    where = _Where(path)
    values = {key: value for key, value in content.items() if key not in _TABLES}
    known = (set(_fields(PriceList)) - {name for name, _ in _LISTS.values()}) | _TABLES
    for key in content:
        if key not in known:
            raise where.error(str(UnknownNameError("key", key, known)))
    for key, (name, kind) in _LISTS.items():
        rows = content.get(key, [])
        if not isinstance(rows, list):
            raise where.error(f"{key} is written [[{key}]] with two brackets, once for each")
        values[name] = [_made(_Where(path, f"{key} {i}"), kind, row) for i, row in enumerate(rows, start=1)]
    if "saw" not in content:
        raise where.error("[saw] is missing: write kerf, allowance and end_trim under it")
    values["saw"] = _made(_Where(path, "saw"), items.Sawing, content["saw"])
    values["hardware"] = _hardware(_Where(path, "hardware"), content.get("hardware", {}))
    return typing.cast(PriceList, _made(where, PriceList, values))


@dataclasses.dataclass(frozen=True)
class _Where:
    """A table of the file."""

    path: Path
    table: str = ""

    def error(self, message: str) -> ScriptError:
        return ScriptError(str(self.path), f"{self.table}: {message}" if self.table else message)


def _parsed(path: Path) -> dict[str, Any]:
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise ScriptError(str(path), f"cannot be read: {error.strerror or error}") from error
    if len(data) > MOST_BYTES:
        raise ScriptError(str(path), f"is longer than {MOST_BYTES} bytes: that is no price list")
    try:
        return tomllib.loads(data.decode(), parse_float=Decimal)
    except UnicodeDecodeError as error:
        raise ScriptError(str(path), "is no text in UTF-8; save it as such") from error
    except RecursionError as error:
        raise ScriptError(str(path), "is nested too deep for a price list") from error
    except ValueError as error:
        # TOMLDecodeError, which names the line, and dates that no calendar has.
        raise ScriptError(str(path), f"is no TOML as it stands: {error}") from error
    except ArithmeticError as error:
        raise ScriptError(str(path), "holds a number that is too long to be a price") from error


@cache
def _fields(kind: type) -> dict[str, tuple[Any, bool]]:
    """Of a kind: type of each field, and whether it may be left out."""
    hints = typing.get_type_hints(kind)
    return {
        f.name: (
            hints[f.name],
            f.default is not dataclasses.MISSING or f.default_factory is not dataclasses.MISSING,
        )
        for f in dataclasses.fields(kind)
    }


def _made(where: _Where, kind: type, row: object) -> object:
    if not isinstance(row, dict):
        raise where.error("it must be a table of its own, with a line for each key")
    fields = _fields(kind)
    for key in row:
        if key == "currency" and "currency" not in fields:
            raise where.error("currency stands once at the top: all prices are in that one, so convert this price")
        if key not in fields:
            raise where.error(str(UnknownNameError("key", key, fields)))
    for name, (_, optional) in fields.items():
        if name not in row and not optional:
            raise where.error(f"{name} is missing")
    values = {key: _value(where, key, fields[key][0], value) for key, value in row.items()}
    try:
        return kind(**values)
    except BladegeomError as error:
        raise where.error(str(error)) from error


def _value(where: _Where, key: str, kind: Any, value: object) -> object:
    """A value as the field wants it."""
    wanted = _wanted(kind)
    if wanted is Decimal:
        return _amount(where, key, value)
    if wanted is float:
        return _length(where, key, value)
    if wanted is datetime.date and (isinstance(value, datetime.datetime) or not isinstance(value, datetime.date)):
        raise where.error(f"{key} = {value!r}: it must be a date without quotes, such as 2026-03-01")
    if wanted is int and (isinstance(value, bool) or not isinstance(value, int)):
        raise where.error(f"{key} = {value}: it must be a whole number")
    if wanted is str and not isinstance(value, str):
        raise where.error(f'{key} = {value}: it must be a text in quotes, such as "1.4116"')
    if key == "covers":
        if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
            raise where.error(f'covers = {value}: it must be a list of steps, such as ["cut", "drill"]')
        return tuple(value)
    return tuple(value) if isinstance(value, list) else value


def _wanted(kind: Any) -> Any:
    """The type of a field, without the None of one that may be left out; a choice of words is a text."""
    if isinstance(kind, types.UnionType) or typing.get_origin(kind) is typing.Union:
        kind = next(one for one in typing.get_args(kind) if one is not type(None))
    return str if typing.get_origin(kind) is typing.Literal else kind


def _amount(where: _Where, key: str, value: object) -> Decimal:
    if isinstance(value, str):
        raise where.error(
            f"{key} = {value!r}: it must be a number without quotes and without a currency: all prices are in the "
            "one currency of the list"
        )
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        raise where.error(f"{key} = {value}: it must be a number, such as 12.50")
    number = Decimal(value)
    if not (number.is_finite() and 0 <= number <= MOST):
        raise where.error(f"{key} = {value}: it must be a number from 0 to {MOST}")
    return number


def _length(where: _Where, key: str, value: object) -> float:
    if isinstance(value, Decimal):
        value = float(value)
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise where.error(f'{key} = {value}: it must be a length, such as 2.0 or "5/32 in"')
    try:
        return length(value)
    except BladegeomError as error:
        raise where.error(f"{key}: {error}") from error


def _hardware(where: _Where, table: object) -> dict[str, Decimal]:
    if not isinstance(table, dict):
        raise where.error('it must be a table [hardware] with lines such as "screw #4-40, 304, 3/8 in" = 0.40')
    return {name: _amount(where, name, value) for name, value in table.items()}
