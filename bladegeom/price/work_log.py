"""A maker's log of ground knives from a CSV file: what was taken off, and how long it took."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Final, cast

from bladegeom.price.hours import LoggedJob
from bladegeom.price.price_items import Grinding
from bladegeom.quantities.errors import BladegeomError, ScriptError

COLUMNS: Final = ("job", "stage", "removed_mm3", "minutes")

MOST_BYTES: Final = 4_000_000
"""A hundred thousand jobs; own choice."""


def read_log(path: Path) -> tuple[LoggedJob, ...]:
    """The jobs of a log; lines that begin with # are remarks.

    Raises:
        ScriptError: It cannot be read, has other columns, or a line is no job; the line is named.
    """
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise ScriptError(str(path), f"cannot be read: {error.strerror or error}") from error
    if len(data) > MOST_BYTES:
        raise ScriptError(str(path), f"is longer than {MOST_BYTES} bytes: keep the jobs of the last years")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise ScriptError(str(path), "is no text in UTF-8; save it as such") from error
    lines = [(n, line) for n, line in enumerate(text.splitlines(), start=1) if line.strip() and line[0] != "#"]
    if not lines or tuple(_cells(path, lines[0])) != COLUMNS:
        raise ScriptError(str(path), f"its first line must name the columns: {','.join(COLUMNS)}")
    return tuple(_job(path, number, _cells(path, (number, line))) for number, line in lines[1:])


def _cells(path: Path, line: tuple[int, str]) -> list[str]:
    try:
        return [cell.strip() for cell in next(csv.reader([line[1]]))]
    except csv.Error as error:
        raise ScriptError(str(path), f"is no CSV: {error}", line[0]) from error


def _job(path: Path, number: int, cells: list[str]) -> LoggedJob:
    if len(cells) != len(COLUMNS):
        raise ScriptError(str(path), f"has {len(cells)} cells, and needs {len(COLUMNS)}: {','.join(COLUMNS)}", number)
    job, stage, removed, minutes = cells
    try:
        return LoggedJob(
            job=job,
            grinding=cast(Grinding, stage),
            removed=_number(path, number, "removed_mm3", removed),
            minutes=_number(path, number, "minutes", minutes),
        )
    except BladegeomError as error:
        if isinstance(error, ScriptError):
            raise
        raise ScriptError(str(path), str(error), number) from error


def _number(path: Path, line: int, column: str, text: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise ScriptError(str(path), f"{column} = {text!r}: it must be a number with a decimal point", line) from None
