"""Reading the rows of ``data/*.csv``."""

from __future__ import annotations

from importlib.resources import files

from bladegeom.quantities.csv_table import csv_rows
from bladegeom.quantities.text_file import decoded
from bladegeom.quantities.units import length


def table_rows(file: str) -> list[dict[str, str]]:
    """The rows of a table in ``data/``, each by its column names."""
    data = (files("bladegeom.quantities") / "data" / file).read_bytes()
    return [dict(row.cells) for row in csv_rows(decoded(file, data))]


def length_or_none(text: str) -> float | None:
    """A length in mm, or None for an empty cell."""
    return length(text) if text else None
