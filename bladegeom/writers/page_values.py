"""What a page is told: words, quantities that stay on one line, and tables of them."""

from __future__ import annotations

from dataclasses import dataclass

from bladegeom.quantities.units import show_length, show_mass, show_mm


@dataclass(frozen=True)
class Quantity:
    """Words that stay on one line; in bold where they are ``strong``."""

    words: str
    strong: bool = False


Cell = str | tuple[str | Quantity, ...]
"""Plain text, or pieces of it with quantities among them."""


@dataclass(frozen=True, kw_only=True)
class Grid:
    """A table whose first column names its rows.

    Args:
        caption: Over it.
        head: Name of each column.
        rows: A cell for each column.
    """

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


Pair = tuple[str, Cell]
"""A name, and what belongs to it."""


def size_quantity(mm: float) -> Quantity:
    """A length in mm and inch."""
    return Quantity(show_length(mm))


def mass_quantity(mass: float, *, sign: bool = False, strong: bool = False) -> Quantity:
    """A mass, or a change of one with its sign."""
    return Quantity(show_mass(mass, sign=sign), strong)


def shift(mm: float) -> Quantity:
    """By how far a place moves, with its sign."""
    return Quantity(f"{show_mm(mm, sign=True)} mm")
