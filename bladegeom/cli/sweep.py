"""The command ``sweep``: a maker's script over many values of its parameters, to CSV and to a chart."""

from __future__ import annotations

import argparse
import contextlib
import sys
from collections.abc import Generator, Mapping
from dataclasses import dataclass
from os.path import realpath
from pathlib import Path

from bladegeom.cli.asked import asked_script
from bladegeom.cli.busy import busy
from bladegeom.cli.grid import read_grid
from bladegeom.cli.progress import Progress
from bladegeom.commands.sweep import ScriptSweep, sweep_of
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.stopped import status_of
from bladegeom.quantities.units import show_parameter
from bladegeom.sheets.sweep_chart import swept
from bladegeom.studies.processes import cores
from bladegeom.studies.variant import Row
from bladegeom.writers.files import require_ending
from bladegeom.writers.sweep_csv import part_of


@dataclass
class _Tally:
    """What came of the rows so far; all of them are kept only where a chart wants them."""

    kept: list[Row] | None
    done: int = 0
    failed: int = 0
    with_errors: int = 0
    first_failure: str = ""

    def add(self, row: Row) -> None:
        self.done += 1
        if isinstance(row.outcome, str):
            self.failed += 1
            self.first_failure = self.first_failure or f"{_named(row.parameters)}: {row.outcome}"
        else:
            self.with_errors += row.outcome.errors > 0
        if self.kept is not None:
            self.kept.append(row)

    @property
    def told(self) -> str:
        """In one line."""
        out = f"{self.done} variant{'' if self.done == 1 else 's'}, {self.with_errors} with errors in their findings"
        return f"{out}, {self.failed} failed" + (f"; the first: {self.first_failure}" if self.failed else "")


def sweep_command(options: argparse.Namespace) -> int:
    """Run the sweep: 0 where every variant gives a knife, 1 where one fails, 128 and its number after a signal."""
    if not options.overrides:
        options.parser.error("name at least one parameter with its values, such as blade_length=100:130:5")
    if options.out and not options.out.is_dir():
        require_ending("--out", options.out, ".csv")
    script = asked_script(options.script)
    job = sweep_of(script, read_grid(script.parameters, options.overrides), options.jobs or cores())
    if options.plot:
        _require_plot(options.plot, job.grid)
        # Path.resolve raises RuntimeError on links that lead round in a circle.
        if options.out and realpath(options.out) in map(realpath, (options.plot, part_of(options.plot))):
            raise ExportError(f"--out and --plot are both {options.plot}: name two files")
    tally = _Tally(kept=[] if options.plot else None)
    try:
        _run(job, options.out, tally)
    except KeyboardInterrupt as stop:
        rest = f"; the same command goes on from {part_of(options.out)}" if options.out else ""
        sys.stderr.write(f"bladegeom: stopped after {tally.done} of {job.total} variants{rest}\n")
        return status_of(stop)
    told = sys.stdout if options.out else sys.stderr
    told.write(f"{options.out}: {tally.told}\n" if options.out else f"{tally.told}\n")
    if options.plot:
        with busy("chart of the sweep"):
            (path,) = job.chart(tally.kept or ()).save(options.plot)
        told.write(f"{path}\n")
    return int(tally.failed > 0)


def _run(job: ScriptSweep, out: Path | None, tally: _Tally) -> None:
    """All rows into the file, or onto the standard output, with a bar on a terminal."""
    if out is None:
        _write(job.table.head)
    progress = Progress(job.total, sys.stderr)
    try:
        with contextlib.closing(job.growing(out) if out else _printed(job)) as rows:
            for row, earlier in rows:
                tally.add(row)
                if earlier:
                    progress.skip()
                else:
                    progress.step()
    finally:
        progress.end()


def _printed(job: ScriptSweep) -> Generator[tuple[Row, bool]]:
    with contextlib.closing(job.rows()) as rows:
        for row in rows:
            _write(job.table.line(row))
            yield row, False


def _require_plot(path: Path, grid: Mapping[str, tuple[object, ...]]) -> None:
    if path.suffix not in (".svg", ".pdf"):
        raise ExportError(f"--plot {path}: name a file that ends with .svg or .pdf")
    swept(grid)


def _named(parameters: Mapping[str, object]) -> str:
    return ", ".join(f"{name} = {show_parameter(value)}" for name, value in parameters.items())


def _write(line: bytes) -> None:
    sys.stdout.write(line.decode())
    sys.stdout.flush()
