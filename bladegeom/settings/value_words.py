"""Values of settings as they are told: plain ones for JSON, and words."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from bladegeom.drawing.printer import Printer
from bladegeom.knife.rules import Process
from bladegeom.quantities.drills import DRILL_INDEXES, Drill, drill_index
from bladegeom.quantities.units import show_length
from bladegeom.settings.keys import Key
from bladegeom.settings.read_setting import NOTHING


def plain_value(value: Any) -> Any:
    """A value as a settings file could write it: numbers, texts and lists of them; None for nothing.

    >>> from bladegeom import Printer, Process
    >>> plain_value(Printer(across=99.6, along=100.2)), plain_value(Process.named("laser"))
    ('99.6 x 100.2', 'laser')
    """
    if isinstance(value, Printer):
        return f"{value.across:g} x {value.along:g}"
    if isinstance(value, Process | Drill):
        return value.name
    if isinstance(value, tuple | list):
        drills = [each for each in value if isinstance(each, Drill)]
        return _indexes(drills) if drills else [*map(plain_value, value)]
    return str(value) if isinstance(value, Path) else value


def value_words(key: Key, plain: Any) -> str:
    """A plain value in words, lengths in both units.

    >>> from bladegeom.settings.keys import keys
    >>> value_words(keys()["hole_rules.rim"], 3.0), value_words(keys()["printer"], None)
    ('3.00 mm (0.118 in)', 'none')
    """
    if plain is None:
        return NOTHING
    if isinstance(plain, list):
        return ", ".join(value_words(key, each) for each in plain)
    if isinstance(plain, float):
        return show_length(plain) if key.is_length else f"{plain:g}"
    return str(plain)


def _indexes(drills: Sequence[Drill]) -> list[str]:
    """Whole sets by their name, the other drills by their own."""
    left, out = set(drills), []
    for name in DRILL_INDEXES:
        inside = set(drill_index(name))
        if inside <= set(drills):
            out.append(name)
            left -= inside
    return [*out, *(each.name for each in drills if each in left)]
