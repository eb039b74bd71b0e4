"""An order from a TOML file that lies beside a script. What is wrong is told in one sentence, with the line."""

from __future__ import annotations

import dataclasses
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from bladegeom.order.order import Change, Order, Requirement
from bladegeom.order.order_facts import Delivery, Lead, OwnMaterial, Payment, Reference, Sheath
from bladegeom.order.order_ways import Feature, Finish, HandCheck, MadeOf, Measured
from bladegeom.quantities.errors import BladegeomError, ScriptError, UnknownNameError

MOST_BYTES: Final = 200_000
"""An order is shorter; own choice."""

_ONES: Final = {"sheath": Sheath, "payment": Payment, "delivery": Delivery, "lead": Lead}
_LISTS: Final = {
    "requirement": ("requirements", Requirement),
    "change": ("changes", Change),
    "reference": ("references", Reference),
    "own_material": ("own_materials", OwnMaterial),
}
"""Tables of the file: one of each kind, and lists of them."""

_WAYS: Final = {
    "measure": (Measured, "measure"),
    "feature": (Feature, "what"),
    "operation": (Finish, "operation"),
    "part": (MadeOf, "part"),
    "check": (HandCheck, "look"),
}
"""Which kind of way a table is, by the key that stands in it; and what that key is called in the kind."""


@dataclass(frozen=True)
class _Place:
    """A table in the file, so that its line can be told."""

    path: Path
    text: str
    table: str = ""
    number: int = 0

    def error(self, message: str, key: str = "") -> ScriptError:
        """What is wrong, with the line of the key, or of the table."""
        return ScriptError(str(self.path), message, self._line(key))

    def _line(self, key: str) -> int | None:
        lines = self.text.splitlines()
        heads = [i for i, line in enumerate(lines) if re.match(r"\s*\[\[?\s*[\w.\"' -]+\]", line)]
        own = (
            [i for i in heads if re.match(rf"\s*\[\[?\s*{re.escape(self.table)}\s*\]", lines[i])]
            if self.table
            else [-1]
        )
        if self.number >= len(own):
            return None
        start = own[self.number]
        end = next((i for i in heads if i > start), len(lines))
        found = (i for i in range(start + 1, end) if key and re.search(rf"(?<![\w-]){re.escape(key)}\s*=", lines[i]))
        return next(found, max(start, 0)) + 1


def read_order(path: Path) -> Order:
    """The order in a file.

    Raises:
        ScriptError: It cannot be read, is no TOML, has unknown or missing keys, or says something no order can say.
    """
    place = _Place(path, _text(path))
    content = _parsed(place)
    values: dict[str, Any] = {}
    for key, value in content.items():
        if key in _ONES:
            values[key] = _one(_Place(path, place.text, key), key, _ONES[key], value)
        elif key in _LISTS:
            field, kind = _LISTS[key]
            values[field] = _many(place, key, kind, value)
        else:
            values[key] = value
    hidden = {field for field, _ in _LISTS.values()}
    for key in content.keys() & hidden:
        single = next(name for name, (field, _) in _LISTS.items() if field == key)
        raise place.error(f"write [[{single}]] for each of the {key.replace('_', ' ')}", key)
    order: Order = _built(place, "order", Order, values, instead=(hidden, tuple(_LISTS)))
    return order


def _text(path: Path) -> str:
    try:
        with path.open("rb") as file:
            content = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise ScriptError(str(path), f"cannot be read: {error.strerror or error}") from error
    if len(content) > MOST_BYTES:
        raise ScriptError(str(path), f"is longer than {MOST_BYTES} bytes: this is no order")
    try:
        return content.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        raise ScriptError(str(path), f"is no UTF-8 text: {error.reason} at byte {error.start}") from error


def _parsed(place: _Place) -> dict[str, Any]:
    try:
        return tomllib.loads(place.text)
    except RecursionError:
        raise ScriptError(str(place.path), "is nested too deeply for an order") from None
    except tomllib.TOMLDecodeError as error:
        told = re.fullmatch(r"(.*?) \((?:at line (\d+), column \d+|at end of document)\)", str(error), re.DOTALL)
        message, line = (told[1], told[2]) if told else (str(error), None)
        last = place.text.rstrip().count("\n") + 1
        number = int(line) if line else last
        raise ScriptError(str(place.path), f"is no TOML as it stands: {message}", number) from error
    except ValueError as error:
        # Python reads whole numbers of up to 4300 digits; no date or other value gets here.
        raise ScriptError(str(place.path), "holds a whole number with thousands of digits") from error


def _many(place: _Place, key: str, kind: type, value: object) -> tuple[Any, ...]:
    if not isinstance(value, list):
        at = _Place(place.path, place.text, key) if isinstance(value, dict) else place
        raise at.error(f"write [[{key}]], with two brackets each, for every {key.replace('_', ' ')}", key)
    places = [_Place(place.path, place.text, key, i) for i in range(len(value))]
    made = tuple(_one(at, key, kind, one) for at, one in zip(places, value, strict=True))
    if kind is Requirement:
        _require_once(places, [one.number for one in made])
    return made


def _require_once(places: list[_Place], numbers: list[int]) -> None:
    for i, number in enumerate(numbers):
        if number in numbers[:i]:
            raise places[i].error(
                f"requirement {number} stands in the order twice: give one of them another number", "number"
            )


def _one(place: _Place, name: str, kind: type, value: object) -> Any:
    what = name.replace("_", " ")
    if not isinstance(value, dict):
        raise place.error(f"{what} must be a table of its own, [{name}]", name)
    number = value.get("number")
    told = f"{what} {number}" if isinstance(number, int) else what
    if kind is Requirement and "met" in value:
        value = value | {"met": _ways(place, told, value["met"])}
    return _built(place, told, kind, value)


def _ways(place: _Place, told: str, value: object) -> tuple[Any, ...]:
    tables = value if isinstance(value, list) else [value]
    return tuple(_way(place, told, one) for one in tables)


def _way(place: _Place, told: str, value: object) -> Any:
    kinds = ", ".join(_WAYS)
    if not isinstance(value, dict):
        raise place.error(f"{told}: met must hold tables such as {{ measure = 'mass', high = 180 }}", "met")
    named = [key for key in _WAYS if key in value]
    if len(named) != 1:
        said = f"names {' and '.join(named)}" if named else f"names none of them ({', '.join(value) or 'nothing'})"
        raise place.error(f"{told}: each way in met is told by one of {kinds}; this one {said}", "met")
    kind, field = _WAYS[named[0]]
    renamed = {field if key == named[0] else key: one for key, one in value.items()}
    return _built(place, f"{told}, {named[0]}", kind, renamed, instead=({field}, (named[0],)))


def _built(
    place: _Place,
    told: str,
    kind: type,
    values: Mapping[str, Any],
    *,
    instead: tuple[set[str], tuple[str, ...]] = (set(), ()),
) -> Any:
    """A value of a kind from a table whose keys are its fields; some of those have other names in the file."""
    fields = dataclasses.fields(kind)
    names = {one.name for one in fields}
    hidden, shown = instead
    for key in values:
        if key not in names:
            error = UnknownNameError(f"key of {told}", key, (names - hidden) | set(shown))
            raise place.error(str(error), key)
    needed = [one.name for one in fields if one.default is dataclasses.MISSING]
    missing = [name for name in needed if name not in values]
    if missing:
        lists = {field: f"[[{name}]]" for name, (field, _) in _LISTS.items()}
        raise place.error(f"{told} lacks {', '.join(lists.get(name, name) for name in missing)}")
    try:
        return kind(**values)
    except BladegeomError as error:
        key = _culprit(values, error)
        raise place.error(_with(told, str(error)), shown[0] if key in hidden else key) from error


def _culprit(values: Mapping[str, Any], error: BladegeomError) -> str:
    """The key that an error is about: the one that holds the word it names, or else the first that it speaks of."""
    word = getattr(error, "name", None) if isinstance(error, UnknownNameError) else None
    holds = (key for key, value in values.items() if word is not None and (value == word or word in _listed(value)))
    found = next(holds, None)
    if found is not None:
        return found
    spoken = {key: at.start() for key in values if (at := re.search(rf"\b{key}\b", str(error)))}
    return min(spoken, key=lambda key: spoken[key], default="")


def _listed(value: object) -> list[object]:
    return value if isinstance(value, list) else []


def _with(told: str, message: str) -> str:
    """A message that says which table it is about, with examples as TOML writes them."""
    written = re.sub(r"(\w+)=\((.*?),?\)(, with its comma)?$", r"\1 = [\2]", message)
    written = re.sub(r"(\w+)=True$", r"\1 = true", written)
    return written if told.partition(",")[0] in written else f"{told}: {written}"
