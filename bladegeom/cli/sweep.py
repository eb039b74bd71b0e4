"""The command ``sweep``: a maker's script over many values of its parameters, to CSV and to a chart."""

from __future__ import annotations

import argparse
import contextlib
import itertools
import math
import sys
from collections.abc import Callable, Generator, Mapping, Sequence
from concurrent.futures import BrokenExecutor
from dataclasses import dataclass
from pathlib import Path

from bladegeom.cli.grid import read_grid
from bladegeom.cli.progress import Progress
from bladegeom.cli.script import load_design
from bladegeom.cli.script_design import ScriptDesign, state
from bladegeom.quantities.errors import ExportError, ScriptError
from bladegeom.quantities.units import show_parameter
from bladegeom.studies.processes import cores, processes
from bladegeom.studies.sweep import combinations
from bladegeom.studies.sweep import sweep as run_sweep
from bladegeom.studies.variant import Row
from bladegeom.writers.files import require_replaceable, write_all
from bladegeom.writers.sweep_csv import SweepTable, growing, part_of

_STOPPED = 130
"""Exit status after Ctrl-C; source: POSIX shells, 128 and the number of the signal."""


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


@dataclass(frozen=True, kw_only=True)
class _Sweep:
    """A sweep as the command line asks for it, and how far it is."""

    script: Path
    grid: Mapping[str, tuple[object, ...]]
    jobs: int
    tally: _Tally

    @property
    def total(self) -> int:
        return math.prod(len(values) for values in self.grid.values())

    def into(self, append: Callable[[Row], None]) -> None:
        """Run all variants that are not done yet, and append each row as it comes."""
        left = self.total - self.tally.done
        progress = Progress(self.total, self.tally.done, sys.stderr)
        try:
            with contextlib.closing(self._rows(left)) as rows:
                for row in rows:
                    append(row)
                    self.tally.add(row)
                    progress.step()
        except BrokenExecutor as error:
            message = "a worker process came to an end by itself: out of memory, or ended by the script"
            where = f"in one of the variants from number {self.tally.done + 1} on"
            raise ScriptError(str(self.script), f"{message}, {where}") from error
        finally:
            progress.end()

    def _rows(self, left: int) -> Generator[Row]:
        if left:
            variants = itertools.islice(combinations(self.grid), self.tally.done, None)
            with processes(min(self.jobs, left)) as pool:
                yield from run_sweep(ScriptDesign(self.script), variants, executor=pool)


def sweep(options: argparse.Namespace) -> int:
    """Run the sweep: 0 where every variant gives a knife, 1 where one fails, 130 after Ctrl-C."""
    if not options.overrides:
        options.parser.error("name at least one parameter with its values, such as blade_length=100:130:5")
    design = load_design(options.script)
    grid = read_grid(design.parameters, options.overrides)
    if options.plot:
        _require_plot(options.plot, grid)
        if options.out and options.out.resolve() in (options.plot.resolve(), part_of(options.plot).resolve()):
            raise ExportError(f"--out and --plot are both {options.plot}: name two files")
    tally = _Tally(kept=[] if options.plot else None)
    job = _Sweep(script=options.script, grid=grid, jobs=options.jobs or cores(), tally=tally)
    table = SweepTable(names=tuple(grid), state=state(design))
    try:
        if options.out:
            _to_file(job, options.out, table)
        else:
            _write(table.head)
            job.into(lambda row: _write(table.line(row)))
    except KeyboardInterrupt:
        rest = f"; the same command goes on from {part_of(options.out)}" if options.out else ""
        sys.stderr.write(f"bladegeom: stopped after {tally.done} of {job.total} variants{rest}\n")
        return _STOPPED
    told = sys.stdout if options.out else sys.stderr
    told.write(f"{options.out}: {tally.told}\n" if options.out else f"{tally.told}\n")
    if options.plot:
        _plot(options.plot, grid, tally.kept or (), options.script.stem)
        told.write(f"{options.plot}\n")
    return int(tally.failed > 0)


def _to_file(job: _Sweep, out: Path, table: SweepTable) -> None:
    """Go on from what an earlier run of the same sweep left, or begin anew."""
    if out.is_dir():
        raise ExportError(f"--out {out}: that is a folder; name a file, for example {out / 'sweep.csv'}")
    for path in (part_of(out), out):
        require_replaceable(path, table.head)
    start = next((path for path in (part_of(out), out) if path.exists()), None)
    length = 0
    if start is not None:
        for row, length in table.rows_in(start, combinations(job.grid)):  # noqa: B007
            job.tally.add(row)
    if start == out and job.tally.done == job.total:
        return
    with growing(out, table, start=start, length=length) as append:
        job.into(append)


def _require_plot(path: Path, grid: Mapping[str, tuple[object, ...]]) -> None:
    from bladegeom.sheets.sweep_chart import swept  # noqa: PLC0415

    if path.suffix not in (".svg", ".pdf"):
        raise ExportError(f"--plot {path}: name a file that ends with .svg or .pdf")
    swept(grid)


def _plot(path: Path, grid: Mapping[str, tuple[object, ...]], rows: Sequence[Row], name: str) -> None:
    # The writers are imported where they are needed: a sweep without a chart does without them.
    from bladegeom.sheets.sweep_chart import sweep_chart  # noqa: PLC0415
    from bladegeom.writers.pdf import pdf_of_sheets  # noqa: PLC0415
    from bladegeom.writers.svg import svg_of_sheet  # noqa: PLC0415

    sheet = sweep_chart(grid, rows, name=name)
    content = svg_of_sheet(sheet) if path.suffix == ".svg" else pdf_of_sheets([sheet])
    write_all(path.parent, {path.name: content})


def _named(parameters: Mapping[str, object]) -> str:
    return ", ".join(f"{name} = {show_parameter(value)}" for name, value in parameters.items())


def _write(line: bytes) -> None:
    sys.stdout.write(line.decode())
    sys.stdout.flush()
