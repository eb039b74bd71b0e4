"""Tables in CSV, each row with its line, so that what is wrong with it can be told."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from bladegeom.quantities.file_errors import UnreadableFileError
from bladegeom.quantities.text_file import TextFile

_LOOSE = str.maketrans(";\t,", "   ")
"""What people put between the numbers of a line, as blanks."""

_DECIMAL_COMMA = re.compile(r"[-+]?\d*,\d+")


@dataclass(frozen=True)
class CsvRow:
    """A row: its cells by the names of the columns, without blanks around them."""

    file: TextFile
    line: int
    cells: Mapping[str, str]

    def __getitem__(self, column: str) -> str:
        return self.cells[column]

    def error(self, reason: str) -> UnreadableFileError:
        """What is wrong with it."""
        return self.file.error(reason, self.line)

    def number(self, column: str) -> float:
        """A cell as a number.

        Raises:
            UnreadableFileError: It is none.
        """
        try:
            return float(self[column])
        except ValueError:
            reason = f"{column} is {self[column]!r}; it must be a number with a decimal point"
            raise self.error(reason) from None


def csv_rows(file: TextFile, columns: Sequence[str] = (), *, remark: str = "") -> list[CsvRow]:
    """The rows under the heading; empty lines count for nothing.

    Args:
        file: Comma-separated, cells with commas in double quotes.
        columns: The heading that it must have; of none, it has its own.
        remark: A line that begins with it is none.

    Raises:
        UnreadableFileError: Another heading, a row with more or fewer cells, or quotes that do not close.
    """
    records = _records(file, remark)
    _, heading = next(records, (0, []))
    if not heading or (columns and heading != list(columns)):
        parted = "; part the cells by commas, not by semicolons" if any(";" in cell for cell in heading) else ""
        named = f": {','.join(columns)}{parted}" if columns else ""
        raise file.error(f"its first line must name the columns{named}")
    rows = []
    for line, cells in records:
        if len(cells) != len(heading):
            raise file.error(f"the line has {len(cells)} cells, and needs {len(heading)}: {','.join(heading)}", line)
        rows.append(CsvRow(file, line, dict(zip(heading, cells, strict=True))))
    return rows


def loose_rows(file: TextFile) -> Iterator[tuple[int, list[str]]]:
    """Number and cells of each line that has any, parted by commas, semicolons, tabs or blanks.

    Raises:
        UnreadableFileError: Semicolons between the cells and commas in them: 1,5;2 would be read as three numbers.
    """
    for line, text in enumerate(file.text.split("\n"), start=1):
        if ";" in text and any(_DECIMAL_COMMA.fullmatch(part.strip()) for part in text.split(";")):
            raise file.error(f"{text[:40]!r} has commas within its numbers; write x,y with decimal points", line)
        if cells := text.translate(_LOOSE).split():
            yield line, cells


def _records(file: TextFile, remark: str) -> Iterator[tuple[int, list[str]]]:
    """Where each record begins, and its cells."""
    lines = enumerate(file.text.split("\n"), start=1)
    kept = [(n, text) for n, text in lines if text.strip() and not (remark and text.startswith(remark))]
    reader = csv.reader((f"{text}\n" for _, text in kept), strict=True, skipinitialspace=True)
    while reader.line_num < len(kept):
        line = kept[reader.line_num][0]
        try:
            yield line, [cell.strip() for cell in next(reader)]
        except csv.Error as error:
            raise file.error(f"the file is no CSV: {error}", line) from error
