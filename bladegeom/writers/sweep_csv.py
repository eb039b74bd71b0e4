"""A sweep as CSV that grows row by row, and that a later sweep of the same design goes on with."""

from __future__ import annotations

import contextlib
import csv
import hashlib
import io
import os
import shutil
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Final

from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.lettering import one_line
from bladegeom.quantities.stopped import undisturbed
from bladegeom.studies.variant import Outcome, Row
from bladegeom.writers.exchange import alone_in, locked
from bladegeom.writers.ownership import require_replaceable

_OUTCOME = (
    *("mass (g)", "balance (mm)", "blade length (mm)", "overall length (mm)", "lightening (g)"),
    *("errors (count)", "errors (codes)", "warnings (count)", "warnings (codes)", "not weighed (parts)"),
)
"""Brackets keep these apart from the names of parameters."""

_NOTHING = ("",) * len(_OUTCOME)

_FAILURE, _STATE, _SEAL = "failure (message)", "design (state)", "row (checksum)"

_SEAL_LENGTH: Final = 8
"""Digits of it: it tells a slip of the hand, not a forger."""


@dataclass(frozen=True, kw_only=True)
class SweepTable:
    """How a sweep is written: a column for each parameter, then what came of it.

    Args:
        names: Of the parameters that the sweep sets.
        state: A short mark that changes with the design; it stands in every row.
    """

    names: tuple[str, ...]
    state: str

    @property
    def columns(self) -> tuple[str, ...]:
        """The heading."""
        return (*self.names, *_OUTCOME, _FAILURE, _STATE, _SEAL)

    @property
    def head(self) -> bytes:
        """The heading as a line of the file."""
        return _line(self.columns)

    def line(self, row: Row) -> bytes:
        """A row as a line of the file; the same row gives the same bytes."""
        outcome = row.outcome
        cells = (*_NOTHING, _plain(outcome)) if isinstance(outcome, str) else (*_cells(outcome), "")
        return self._sealed((*self._parameters(row.parameters), *cells))

    def rows_in(self, path: Path, variants: Iterable[Mapping[str, object]]) -> Iterator[tuple[Row, int]]:
        """The whole rows that an earlier run of this sweep left in a file, each with the length of the file up to it.

        A last row that was cut off in the writing is left out.

        Args:
            path: The file.
            variants: Of this sweep, in order; the file must hold the first of them.

        Raises:
            ExportError: The file cannot be read, or holds another sweep or another state of the design.
        """
        with _told(path, "read"), path.open("rb") as file:
            end = file.readline()
            if not end.endswith(b"\n"):
                if not self.head.startswith(end):
                    raise _other(path, f"it begins with {_text(end)}, not with {_text(self.head)}")
                # Not even the heading is whole.
                return
            if end != self.head:
                raise _other(path, f"its columns are {_text(end)}, not {_text(self.head)}")
            length, ahead = len(end), iter(variants)
            for number, line in enumerate(file, 1):
                if not line.endswith(b"\n"):
                    return
                length += len(line)
                yield self._row(path, number, line, next(ahead, None)), length

    def _row(self, path: Path, number: int, line: bytes, variant: Mapping[str, object] | None) -> Row:
        cells = next(csv.reader([_text(line)]))
        if variant is None:
            raise _other(path, f"it goes on after the {number - 1} variants of this one")
        if len(cells) != len(self.columns):
            raise _other(path, f"row {number} has {len(cells)} cells, not {len(self.columns)}")
        if cells[-2] != self.state:
            raise _other(path, f"row {number} was made when script or program were in another state")
        for name, there, here in zip(self.names, cells, self._parameters(variant), strict=False):
            if there != here:
                raise _other(path, f"in row {number}, {name} is {there}, not {here}")
        *numbers, failure, _, _ = cells[len(self.names) :]
        outcome = failure or _outcome(path, number, numbers)
        if line != self._sealed(cells[:-2]):
            raise _other(path, f"row {number} has been changed since it was written")
        return Row(parameters=variant, outcome=outcome)

    def _sealed(self, cells: Sequence[str]) -> bytes:
        """A line of these cells, the state of the design and a checksum over both."""
        whole = (*cells, self.state)
        return _line((*whole, hashlib.sha256(_line(whole)).hexdigest()[:_SEAL_LENGTH]))

    def _parameters(self, parameters: Mapping[str, object]) -> list[str]:
        return [_shown(parameters[name]) for name in self.names]


def part_of(path: Path) -> Path:
    """The file beside it in which the rows are gathered until all are there."""
    return path.with_name(f"{path.name}.part")


class Growing:
    """A table while rows are added to it.

    Args:
        path: Where the whole file shall be.
        table: How it is written.
        file: The open file of :func:`part_of`.
    """

    def __init__(self, path: Path, table: SweepTable, file: BinaryIO) -> None:
        self.path, self.table, self.file = path, table, file
        holds_rows = part_of(path).stat().st_size > 0
        self.start = part_of(path) if holds_rows or not path.exists() else path
        self.length = 0
        self.is_begun = False

    @property
    def is_as_it_was(self) -> bool:
        """Whether the whole file stood there, and nothing is to be written."""
        return self.start == self.path and not self.is_begun

    def earlier(self, variants: Iterable[Mapping[str, object]]) -> Iterator[Row]:
        """The rows that an earlier run left.

        Args:
            variants: Of this sweep, in order.

        Raises:
            ExportError: The file cannot be read, or holds another sweep or another state of the design.
        """
        for row, length in self.table.rows_in(self.start, variants):
            self.length = length
            yield row
        if self.start == self.path and not self.length and self.path.stat().st_size:
            raise ExportError(f"{self.path} is no table of a sweep; name another file, or delete it")

    def append(self, row: Row) -> None:
        """Add a row behind the earlier ones; it is on its way to the disk at the return.

        Raises:
            ExportError: It cannot be written.
        """
        with _told(self.path, "write to"):
            if not self.is_begun:
                self._begin()
            _append(self.file, self.table.line(row))

    def _begin(self) -> None:
        self.is_begun = True
        if self.start == self.path:
            with self.path.open("rb") as whole:
                shutil.copyfileobj(whole, self.file)
        self.file.truncate(self.length)
        self.file.seek(self.length)
        if not self.length:
            _append(self.file, self.table.head)


@contextlib.contextmanager
def growing(path: Path, table: SweepTable) -> Iterator[Growing]:
    """The file while it grows, this program's alone; it is put in place when all is done.

    When the block ends with an exception, what there is stays in the file of :func:`part_of`.

    Args:
        path: Where the whole file shall be.
        table: How it is written.

    Raises:
        ExportError: It cannot be written, another sweep is writing to it, or something else stands in its place.
    """
    part = part_of(path)
    for target in (part, path):
        require_replaceable(target, table.head)
    with _told(path, "write to"):
        path.parent.mkdir(parents=True, exist_ok=True)
        # What is locked stands in its place still: nobody else opens or moves it meanwhile.
        with alone_in(path.parent):
            file = os.fdopen(os.open(part, os.O_RDWR | os.O_CREAT | getattr(os, "O_BINARY", 0), 0o666), "r+b")
            if not locked(file.fileno()):
                file.close()
                raise ExportError(f"another sweep is writing to {part}: wait until it is done, or name another file")
    grown = Growing(path, table, file)
    try:
        yield grown
    except BaseException:
        with _told(path, "write to"), alone_in(path.parent):
            file.close()
            if not part.stat().st_size:
                part.unlink()
        raise
    with _told(path, "write to"), alone_in(path.parent), undisturbed():
        file.close()
        if grown.is_as_it_was:
            part.unlink()
        else:
            part.replace(path)


def _append(file: BinaryIO, line: bytes) -> None:
    file.write(line)
    file.flush()


@contextlib.contextmanager
def _told(path: Path, doing: str) -> Iterator[None]:
    try:
        yield
    except ExportError:
        raise
    except OSError as error:
        raise ExportError(f"cannot {doing} {path}: {error.strerror or error}") from error


def _other(path: Path, how: str) -> ExportError:
    return ExportError(f"{path} holds another sweep: {how}; name another file, or delete this one to begin anew")


def _line(cells: Sequence[str]) -> bytes:
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerow(cells)
    return out.getvalue().encode()


def _text(line: bytes) -> str:
    return line.decode(errors="replace").rstrip("\n")


def _shown(value: object) -> str:
    """A parameter as a cell: a float with all its digits, yes or no, anything else as text on one line."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return _plain(value)
    # A number of an array shows its type otherwise.
    return one_line(float.__repr__(value) if isinstance(value, float) else str(value))


def _plain(text: str) -> str:
    """Text on one line that no spreadsheet takes for a formula: behind an apostrophe where it begins like one."""
    line = one_line(text)
    return f"'{line}" if line.lstrip()[:1] in _BEGINS_A_FORMULA else line


_BEGINS_A_FORMULA: Final = frozenset("=+-@")
"""Source: how spreadsheets read CSV files, common practice; negative numbers are no text, and stay as they are."""


def _cells(outcome: Outcome) -> tuple[str, ...]:
    o = outcome
    numbers = (o.mass, o.balance, o.blade_length, o.overall_length, o.lightening)
    findings = (str(o.errors), " ".join(o.error_codes), str(o.warnings), " ".join(o.warning_codes))
    parts = "; ".join(o.unweighed)
    return (*(f"{number:z.4f}" for number in numbers), *findings, parts)


def _outcome(path: Path, number: int, cells: Sequence[str]) -> Outcome:
    try:
        mass, balance, blade, overall, lightening = (float(cell) for cell in cells[:5])
        errors, warnings = int(cells[5]), int(cells[7])
    except ValueError as error:
        raise _other(path, f"row {number} cannot be read, {error}") from error
    return Outcome(
        mass=mass,
        balance=balance,
        blade_length=blade,
        overall_length=overall,
        lightening=lightening,
        errors=errors,
        error_codes=tuple(cells[6].split()),
        warnings=warnings,
        warning_codes=tuple(cells[8].split()),
        unweighed=tuple(cells[9].split("; ")) if cells[9] else (),
    )
