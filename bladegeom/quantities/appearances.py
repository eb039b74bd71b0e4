"""What materials look like in a picture: colours and grain that stand for them, by eye and of our own choosing.

The rows stand in ``data/appearances.csv``: one for each kind of material, and one for each that looks unlike its kind.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Literal, get_args

from bladegeom.quantities.designations import designation_key
from bladegeom.quantities.materials import Material
from bladegeom.quantities.rows import table_rows

Rgb = tuple[int, int, int]
"""Red, green and blue from 0 to 255, as screens take them (sRGB)."""

Grain = Literal["brushed", "rings", "layers", "fibres", "weave", "plain"]
"""Brushed metal, year rings along the handle, laid sheets, streaks along the handle, cloth, or nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Appearance:
    """What stands for a material in a picture.

    Args:
        colour: Of most of it.
        grain_colour: Of the grain; that of ``colour`` where there is none.
        grain: Its kind.
        spacing: Of the grain, mm.
        gloss: From 0, dull, to 1, a mirror.
        metal: Whether it shines in its own colour.
    """

    colour: Rgb
    grain_colour: Rgb
    grain: Grain
    spacing: float
    gloss: float
    metal: bool


def appearance_of(material: Material) -> Appearance:
    """What stands for a material: its own row, that of a word in its name, or that of its kind.

    >>> from bladegeom.quantities.materials import material
    >>> appearance_of(material("Juglans nigra")).grain
    'rings'
    """
    rows = _named_rows()
    called = (material.name, *material.also, *re.findall(r"\w+", material.name))
    found = next((rows[key] for key in map(designation_key, called) if key in rows), None)
    return found or _rows_by_kind()[material.kind]


def colour_of(material: Material) -> Rgb:
    """The one colour that stands for a material, where there is no room for its grain.

    >>> from bladegeom.quantities.materials import material
    >>> colour_of(material("C11000"))
    (189, 117, 80)
    """
    return appearance_of(material).colour


@cache
def _named_rows() -> dict[str, Appearance]:
    return {designation_key(name): look for by, names, look in _rows() if by == "name" for name in names}


@cache
def _rows_by_kind() -> dict[str, Appearance]:
    return {name: look for by, names, look in _rows() if by == "kind" for name in names}


@cache
def _rows() -> tuple[tuple[str, tuple[str, ...], Appearance], ...]:
    return tuple((row["by"], tuple(row["names"].split(";")), _appearance(row)) for row in table_rows("appearances.csv"))


def _appearance(row: dict[str, str]) -> Appearance:
    grain = next(grain for grain in get_args(Grain) if grain == row["grain"])
    return Appearance(
        colour=_rgb(row["colour"]),
        grain_colour=_rgb(row["grain_colour"]),
        grain=grain,
        spacing=float(row["spacing"]),
        gloss=float(row["gloss"]),
        metal=grain == "brushed",
    )


def _rgb(text: str) -> Rgb:
    red, green, blue = bytes.fromhex(text.removeprefix("#"))
    return red, green, blue
