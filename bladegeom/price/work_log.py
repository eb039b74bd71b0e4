"""A maker's log of ground knives from a CSV file: what was taken off, and how long it took."""

from __future__ import annotations

from pathlib import Path
from typing import Final, cast

from bladegeom.price.hours import LoggedJob
from bladegeom.price.price_items import Grinding
from bladegeom.quantities.csv_table import CsvRow, csv_rows
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.paths import path_of
from bladegeom.quantities.text_file import read_text

COLUMNS: Final = ("job", "stage", "removed_mm3", "minutes")

MOST_BYTES: Final = 4_000_000
"""A hundred thousand jobs; own choice."""


def read_log(path: str | Path) -> tuple[LoggedJob, ...]:
    r"""The jobs of a log; lines that begin with # are remarks.

    Raises:
        UnreadableFileError: It cannot be read, has other columns, or a line is no job; the line is named.

    >>> path = folder / "log.csv"
    >>> _ = path.write_text("job,stage,removed_mm3,minutes\nS-1,rough,4200,35\n")
    >>> read_log(path)[0].minutes
    35.0
    """
    file = read_text(path_of("read_log", path), most_bytes=MOST_BYTES, advice="keep the jobs of the last years")
    return tuple(_job(row) for row in csv_rows(file, COLUMNS, remark="#"))


def _job(row: CsvRow) -> LoggedJob:
    removed, minutes = row.number("removed_mm3"), row.number("minutes")
    try:
        return LoggedJob(job=row["job"], grinding=cast(Grinding, row["stage"]), removed=removed, minutes=minutes)
    except ParameterError as error:
        raise row.error(str(error)) from error
