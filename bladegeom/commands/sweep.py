"""A maker's script over many values of its parameters, on all processors: rows, a table that grows, a chart."""

from __future__ import annotations

import contextlib
import itertools
import math
from collections.abc import Generator, Iterable, Mapping, Sequence
from concurrent.futures import BrokenExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

from bladegeom.commands.script_design import ScriptDesign, source_checksum
from bladegeom.design.script import Script, load_script
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import UnknownNameError
from bladegeom.quantities.field_rules import Count, Like
from bladegeom.quantities.file_errors import ExportError, ScriptError
from bladegeom.quantities.paths import path_of
from bladegeom.settings.settings import Settings
from bladegeom.sheets.sweep_chart import sweep_chart
from bladegeom.studies.processes import cores, processes
from bladegeom.studies.sweep import combinations, sweep, values_of
from bladegeom.studies.variant import Row
from bladegeom.writers.files import require_ending
from bladegeom.writers.printout import Printout
from bladegeom.writers.sweep_csv import SweepTable, growing


@dataclass(frozen=True, kw_only=True)
class ScriptSweep:
    """A script over all combinations of some values.

    Args:
        script: The file.
        grid: Values by parameter, the last one changing fastest.
        jobs: Worker processes.
        table: How its rows are written.
        settings: That hold while the script runs.

    >>> from bladegeom import script_sweep, starter_script
    >>> path = folder / "knife.py"
    >>> _ = path.write_text(starter_script("knife", blade="drop_point", handle="swelled"))
    >>> script_sweep(path, {"thickness": (3.0, 4.0)}).table.columns[:3]
    ('thickness', 'mass (g)', 'balance (mm)')
    """

    script: Path
    grid: Mapping[str, tuple[object, ...]]
    jobs: int
    table: SweepTable
    settings: Settings

    @property
    def total(self) -> int:
        """How many variants there are."""
        return math.prod(len(values) for values in self.grid.values())

    def rows(self, done: int = 0) -> Generator[Row]:
        """What comes of each variant, in order.

        Args:
            done: Variants that are left out at the start.

        Raises:
            ScriptError: A worker process came to an end by itself.
        """
        left = self.total - done
        if not left:
            return
        variants = itertools.islice(combinations(self.grid), done, None)
        try:
            with (
                processes(min(self.jobs, left)) as pool,
                contextlib.closing(sweep(ScriptDesign(self.script, self.settings), variants, executor=pool)) as rows,
            ):
                for row in rows:
                    yield row
                    done += 1
        except BrokenExecutor as error:
            message = "a worker process came to an end by itself: out of memory, or ended by the script"
            raise ScriptError(
                str(self.script), f"{message}, in one of the variants from number {done + 1} on"
            ) from error

    def growing(self, out: Path) -> Generator[tuple[Row, bool]]:
        """Each row once it stands in a CSV file, and whether an earlier run had written it.

        A sweep that was stopped goes on from the rows in ``NAME.csv.part``.

        Args:
            out: The file.

        Raises:
            ExportError: It cannot be written, or holds another sweep or another state of the design.
            ScriptError: A worker process came to an end by itself.
        """
        if out.is_dir():
            raise ExportError(f"--out {out}: that is a folder; name a file, for example {out / 'sweep.csv'}")
        with growing(out, self.table) as grown:
            done = 0
            for row in grown.earlier(combinations(self.grid)):
                yield row, True
                done += 1
            with contextlib.closing(self.rows(done)) as rows:
                for row in rows:
                    grown.append(row)
                    yield row, False

    def save(self, out: str | Path) -> tuple[Row, ...]:
        """Write all rows to a CSV file, going on from what an earlier run left.

        Args:
            out: The file; it ends with .csv.

        Returns:
            All rows.

        Raises:
            ExportError: Its name ends otherwise, it cannot be written, or it holds another sweep or another state of
                the design.
            ScriptError: A worker process came to an end by itself.
        """
        path = path_of("save", out)
        require_ending("save", path, ".csv")
        return tuple(row for row, _ in self.growing(path))

    def chart(self, rows: Sequence[Row]) -> Printout:
        """Mass and balance over the values.

        Args:
            rows: Of all variants.

        Raises:
            ExportError: No parameter or more than two have several values, or no variant gives a knife.
        """
        return Printout(sheets=(sweep_chart(self.grid, rows, name=self.script.stem),))


def script_sweep(path: str | Path, grid: Mapping[str, Iterable[object]], *, jobs: int | None = None) -> ScriptSweep:
    """A maker's script over all combinations of some values; nothing runs before its rows are asked for.

    Args:
        path: The script.
        grid: Values by parameter of its ``design()``.
        jobs: Worker processes; None takes one for each processor.

    Returns:
        The sweep: ``.rows()`` gives what comes of each variant, ``.save("sweep.csv")`` writes it.

    Raises:
        ScriptError: The script cannot be read or defines no design.
        UnknownNameError: A parameter that the design does not have.
        ParameterError: A parameter without a value, or something else than a list of them.

    >>> from bladegeom import starter_script
    >>> path = folder / "knife.py"
    >>> _ = path.write_text(starter_script("knife", blade="drop_point", handle="swelled"))
    >>> script_sweep(path, {"thickness": (3.0, 3.5, 4.0), "bevel_height": (16.0, 18.0)}).total
    6
    """
    script = load_script(path_of("script_sweep", path))
    checked("script_sweep: grid", grid, Annotated[Mapping[str, object], Like("{'blade_length': [100.0, 110.0]}")])
    checked("script_sweep: jobs", jobs, Count | None)
    for name in grid:
        if name not in script.parameters:
            raise UnknownNameError("parameter", name, script.parameters)
    values = {name: values_of(name, given) for name, given in grid.items()}
    return sweep_of(script, values, jobs or cores())


def sweep_of(script: Script, grid: Mapping[str, tuple[object, ...]], jobs: int) -> ScriptSweep:
    """The same of a script that is read already."""
    table = SweepTable(names=tuple(grid), state=source_checksum(script))
    return ScriptSweep(script=script.folder.script, grid=grid, jobs=jobs, table=table, settings=script.settings)
