"""What differs between two declared values, field by field, in a maker's words."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from functools import cache
from typing import Any, Final, get_args, get_type_hints

from bladegeom.curves.curve import Curve
from bladegeom.quantities.field_rules import InUnit
from bladegeom.quantities.shown import oven_temperature
from bladegeom.quantities.units import show_length
from bladegeom.workshop.operation import Number

WORDS: Final = {
    "front_lean_deg": "lean of the handle front",
    "front_bow": "bow of the handle front",
    "hand_breadth": "breadth of the hand",
    "edge_thickness": "edge thickness",
    "rough_edge": "edge left for hardening",
    "sharpen_deg": "sharpening angle a side",
    "lean_deg": "lean",
    "angle_deg": "angle",
    "grain_deg": "direction of the grain",
    "only": "only side that is ground",
    "slab": "material",
    "sheet": "material",
    "made": "way of making",
    "austenitize_c": "hardening temperature",
    "austenitize_low_c": "least hardening temperature",
    "austenitize_high_c": "greatest hardening temperature",
    "preheat_c": "preheat temperature",
    "celsius": "temperature",
    "conductivity_w_m_k": "conductivity",
    "specific_heat_j_kg_k": "specific heat",
    "temper_count": "count of tempers",
    "liners_glued": "liners glued to the scales before drilling",
    "depth_division": "least division of a depth stop",
    "engagement_hard": "thread wanted in hard metal, in diameters",
    "engagement_soft": "thread wanted in soft metal, in diameters",
    "engagement_turns": "turns of thread wanted",
}
"""Names of fields that do not read as words of the trade by themselves."""

_PLAIN: Final = (
    "per_",
    "thread_wanted",
    "turns_of",
    "share",
    "net_width",
    "weak_section",
    "count",
    "power",
    "straight",
    "belly",
    "density",
    "low",
    "high",
    "price",
    "budget",
    "deposit",
    "growth",
    "conductivity",
    "specific_heat",
)
"""Parts of names of numbers that are no lengths."""

_UNITS: Final = {"minutes": "min", "hours": "h", "hrc": "HRC", "hardness": "HRC"}
"""Units of numbers that are no lengths, by the last word of their names."""

_EMPTY: Final = ("", ())
"""What says nothing, and is left out of a value told in full."""

_SHOWN: Final = 0.005
"""What is less would be shown as 0.00 mm."""

_TOLD: Final = {"source", "confidence", "note", "also", "composition"}
"""Fields that say where a number comes from, or what else a material is called."""


def changed_fields(old: object, new: object, what: str, unit: str | None = None) -> Iterator[str]:
    """A sentence for each thing that differs, none where nothing does.

    Args:
        old: The value as it was.
        new: As it is.
        what: What the value is called, such as "bar".
        unit: Of its numbers, as their field declares it; empty of a bare number, None tells it by the name.
    """
    if _same(old, new):
        return
    if isinstance(old, Number) and isinstance(new, Number):
        yield f"{what}: {_job_number(old)} becomes {_job_number(new)}"
        return
    if _named(old) is None and _named(new) is None:
        if dataclasses.is_dataclass(old) and type(old) is type(new):
            yield from _in_fields(old, new, what)
            return
        if isinstance(old, tuple) and isinstance(new, tuple):
            yield from _in_rows(old, new, what, unit)
            return
    was, now = shown_value(old, what, unit), shown_value(new, what, unit)
    if isinstance(old, float) and isinstance(new, float) and abs(new - old) < _SHOWN:
        was, now = f"{old:.6f}", f"{new:.6f}"
    yield f"{what}: {was} becomes {now}"


def told_length(size: float) -> str:
    """A length as everywhere, but never as nought where it is not nought."""
    return show_length(size) if size >= _SHOWN else f"{size:.4f} mm"


def shown_value(value: object, what: str, unit: str | None = None) -> str:
    """A value in words, with mm and inch side by side where it is a length; arguments as for changed_fields."""
    if value is None or value == "":
        return "none"
    if isinstance(value, int | float):
        return _number(value, what, unit)
    if isinstance(value, Number):
        return _job_number(value)
    if isinstance(value, Curve):
        return "another line"
    if isinstance(value, tuple):
        entries = closed_lines(value) or "(" + ", ".join(shown_value(entry, what, unit) for entry in value) + ")"
        return entries if value else "none"
    if (name := _named(value)) is not None:
        return name
    if dataclasses.is_dataclass(value):
        fields = (
            (field.name, getattr(value, field.name)) for field in dataclasses.fields(value) if field.name not in _TOLD
        )
        told = (
            f"{field_name(n)} {shown_value(v, field_name(n), unit_of(type(value), n))}"
            for n, v in fields
            if v is not None and v not in _EMPTY
        )
        return f"{kind_name(value)} with " + ", ".join(told)
    return str(value)


def closed_lines(value: Sequence[Any]) -> str:
    """Closed lines by their number and that of their places, which nobody would read; empty for any other row."""
    if not value or not all(isinstance(line, tuple | list) and line for line in value):
        return ""
    if not all(isinstance(place, tuple | list) for line in value for place in line):
        return ""
    lines = "1 closed line" if len(value) == 1 else f"{len(value)} closed lines"
    return f"{lines} of {sum(map(len, value))} places"


def field_name(name: str) -> str:
    """What a field is called."""
    return WORDS.get(name, name.replace("_deg", "").replace("_", " "))


def unit_of(kind: type, field: str) -> str | None:
    """The unit that a field of a declared value names, empty where it names none; None of any other class."""
    return _units_of(kind).get(field, "") if hasattr(kind, "__example__") else None


@cache
def _units_of(kind: type) -> dict[str, str]:
    hints = get_type_hints(kind, include_extras=True)
    return {name: next(_units_in(hint), "") for name, hint in hints.items()}


def _units_in(hint: Any) -> Iterator[str]:
    yield from (rule.name for rule in getattr(hint, "__metadata__", ()) if isinstance(rule, InUnit))
    for inner in get_args(hint):
        yield from _units_in(inner)


def _number(value: float, what: str, declared: str | None) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if unit := _unit(what) or ("" if declared == "mm" else declared):
        return oven_temperature(value).text if unit == "C" else f"{value:g} {unit}"
    if isinstance(value, int) or declared == "":
        return f"{value:g}"
    return show_length(value) if declared == "mm" else _by_its_name(value, what)


def _by_its_name(value: float, what: str) -> str:
    name = what.replace(" ", "_")
    if any(word in what for word in ("angle", "lean", "direction", "slope")):
        return f"{value:g} degrees"
    if any(part in name for part in _PLAIN):
        return f"{value:g}"
    return show_length(value)


def _unit(what: str) -> str:
    """Of a number that is no length, by its name; empty where that tells none."""
    last = what.rpartition(" ")[2]
    return "C" if last == "temperature" else _UNITS.get(last, "")


def _job_number(number: Number) -> str:
    """A number of the job in its own unit, as the card tells it."""
    return ", ".join(text for text in (number.what, number.text, number.limits) if text)


def _named(value: object) -> str | None:
    """The name of what stands in a table, such as a steel or a drill."""
    name = getattr(value, "name", None)
    return name if isinstance(name, str) and hasattr(value, "source") and hasattr(value, "confidence") else None


def _same(old: object, new: object) -> bool:
    if isinstance(old, int | float) and isinstance(new, int | float):
        return old == new
    if type(old) is not type(new):
        return False
    if dataclasses.is_dataclass(old) and not isinstance(old, Curve):
        fields = [field.name for field in dataclasses.fields(old) if field.name not in _TOLD]
        return all(_same(getattr(old, name), getattr(new, name)) for name in fields)
    if isinstance(old, tuple) and isinstance(new, tuple):
        return len(old) == len(new) and all(_same(a, b) for a, b in zip(old, new, strict=True))
    return bool(old == new)


def _in_fields(old: object, new: object, what: str) -> Iterator[str]:
    assert dataclasses.is_dataclass(old)
    for field in dataclasses.fields(old):
        if field.name in _TOLD:
            continue
        a, b = getattr(old, field.name), getattr(new, field.name)
        yield from changed_fields(a, b, f"{what}, {field_name(field.name)}", unit_of(type(old), field.name))


def _in_rows(old: tuple[object, ...], new: tuple[object, ...], what: str, unit: str | None) -> Iterator[str]:
    """Values in a row are told by their place; numbers all together."""
    if not any(dataclasses.is_dataclass(row) for row in (*old, *new)):
        was, now = shown_value(old, what, unit), shown_value(new, what, unit)
        yield f"{what}: {was} becomes {'others' if closed_lines(new) and was == now else now}"
        return
    for number, (a, b) in enumerate(zip(old, new, strict=False), start=1):
        yield from changed_fields(a, b, f"{what} {number}")
    for number, added in enumerate(new[len(old) :], start=len(old) + 1):
        yield f"{what} {number} added: {shown_value(added, what)}"
    for number, removed in enumerate(old[len(new) :], start=len(new) + 1):
        yield f"{what} {number} gone: {shown_value(removed, what)}"


def kind_name(value: object) -> str:
    """The name of a class as words: 'FlatBevel' gives 'flat bevel'."""
    return "".join(f" {c.lower()}" if c.isupper() else c for c in type(value).__name__).strip()
