"""Every command and one evaluation beside an earlier revision: python benchmarks/against_before.py [--quick].

Processor time (user and system, with all child processes) and peak memory of the working tree and of a revision out of
the history, by the same interpreter in the same run, one after the other and again, so that the load of the machine
falls on both. Medians; nothing is asserted: a ratio is there to be read.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import os
import platform
import shlex
import statistics
import subprocess
import sys
import tarfile
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent

BEFORE = "6bd57b4"
"""The revision that the working tree is set beside unless another is named."""

PARTS = ("bladegeom", "profiles", "examples", "pyproject.toml")
"""What a revision needs to run as a checkout does."""

OF_EACH = (
    "check {script}",
    "report {script}",
    "export {script} --paper A4 --out {work}/A4",
    "export {script} --paper A4 --paper Letter --out {work}/both",
    "book {script} --paper A4 --out {work}/book",
)
"""Commands that are measured on every example, or on the first alone where it has to be quick."""

OF_THE_FIRST = (
    "--help",
    "profiles",
    "settings",
    "new {work}/new_{count}.py",
    "watch {script}",
    "report {script} --json",
    "order {script}",
    "quote {script} --prices {examples}/prices.toml --out {work}/quote.pdf",
    "sweep {script} blade_length=148,150,152 --jobs 1 --out {work}/sweep_{count}.csv",
    "differ {script} blade_length=152",
    "nest {script} --bar '60 x 1000' --copies 2 --out {work}/nest.pdf --dxf {work}/nest.dxf",
    "preflight {work}/nest.dxf --thickness '2 mm'",
)

EXAMPLES = ("galley_petty", "galley_chef", "kindling_knife", "rigging_knife", "traced_knife")
"""The first has an order, as some commands want."""


@dataclass(frozen=True)
class Side:
    """One of the two revisions: where it lies, and a folder that its commands write into."""

    root: Path
    work: Path

    def run(self, program: Sequence[str], *, good: int = 0) -> tuple[float, float, str]:
        """Processor time in s, peak memory in MB, and what the program printed.

        Raises:
            CalledProcessError: It ends with a status above the greatest that is good.
        """
        environment = os.environ | {"PYTHONPATH": str(self.root), "XDG_CONFIG_HOME": str(self.work)}
        environment.pop("PYTHONDONTWRITEBYTECODE", None)
        with tempfile.TemporaryFile() as printed, tempfile.TemporaryFile() as complaint:
            child = subprocess.Popen(
                [sys.executable, *program], cwd=self.work, env=environment, stdout=printed, stderr=complaint
            )
            _, status, used = os.wait4(child.pid, 0)
            child.returncode = os.waitstatus_to_exitcode(status)
            printed.seek(0)
            complaint.seek(0)
            if not 0 <= child.returncode <= good:
                raise subprocess.CalledProcessError(child.returncode, program, stderr=complaint.read().decode())
            return used.ru_utime + used.ru_stime, used.ru_maxrss / 1024, printed.read().decode()

    def command(self, line: str, example: str, count: int) -> tuple[float, float]:
        """Processor time in s and peak memory in MB of one command."""
        examples = self.root / "examples"
        words = line.format(script=examples / f"{example}.py", examples=examples, work=self.work, count=count)
        name, *rest = shlex.split(words)
        # A watch goes on until it is told to end.
        program = [str(ROOT / "benchmarks" / "watch_start.py")] if name == "watch" else ["-m", "bladegeom", name]
        # 1 tells of findings.
        return self.run([*program, *rest], good=1)[:2]

    def evaluation(self, times: int) -> dict[str, float]:
        """Processor time in ms of what evaluation.py measures, by name."""
        printed = self.run([str(ROOT / "benchmarks" / "evaluation.py"), str(times)])[2]
        return {name: float(value) for value, _, name in (line.split(maxsplit=2) for line in printed.splitlines())}


def earlier(revision: str, folder: Path) -> Path | None:
    """The package of a revision, taken out of the history; None where there is none."""
    program = ["git", "-C", str(ROOT), "archive", "--format=tar", revision, *PARTS]
    try:
        archive = subprocess.run(program, check=True, capture_output=True).stdout
    except (OSError, subprocess.CalledProcessError) as error:
        why = error.stderr.decode().strip() if isinstance(error, subprocess.CalledProcessError) else str(error)
        print(f"revision {revision} is not at hand ({why}): the figures of now stand alone\n")
        return None
    with tarfile.open(fileobj=io.BytesIO(archive)) as tar:
        tar.extractall(folder, filter="data")
    return folder


def compiled(side: Side) -> None:
    """Bytecode as whoever uses it has from the second start on."""
    folders = [str(side.root / name) for name in ("bladegeom", "profiles")]
    subprocess.run([sys.executable, "-m", "compileall", "-q", *folders], check=True)


def columns(values: Sequence[float | None], digits: int) -> str:
    """What was, what is, and how many times what was that is; a dash stands for what cannot be measured."""
    shown = "".join(f"{'-' if value is None else f'{value:.{digits}f}':>9}" for value in values)
    first, last = values[0], values[-1]
    return shown + (f"{last / first:>7.2f}" if len(values) > 1 and first and last else "       ")


@contextlib.contextmanager
def told_where_it_fails(side: Side, what: str) -> Iterator[None]:
    """What one of the two cannot do is told, and the others are measured all the same."""
    try:
        yield
    except subprocess.CalledProcessError as error:
        print(f"{side.root}: {what}: {error.stderr.strip().splitlines()[-1:]}", file=sys.stderr)


def medians(sides: Sequence[Side], line: str, example: str, times: int) -> Iterator[tuple[float, float] | None]:
    """Processor time and peak memory of a command on each side, run in turns."""
    taken: list[list[tuple[float, float]]] = [[] for _ in sides]
    for count in range(times):
        for side, found in zip(sides, taken, strict=True):
            with told_where_it_fails(side, line):
                found.append(side.command(line, example, count))
    for found in taken:
        yield (statistics.median(cpu for cpu, _ in found), max(peak for _, peak in found)) if found else None


def commands(sides: Sequence[Side], *, quick: bool, times: int) -> None:
    """Print the table of all commands."""
    print(f"{'command':<66}{heads(sides, 's')}  {heads(sides, 'MB')}")
    rows = [(line, EXAMPLES[0]) for line in OF_THE_FIRST]
    rows += [(line, example) for example in (EXAMPLES[:1] if quick else EXAMPLES) for line in OF_EACH]
    for line, example in rows:
        found = list(medians(sides, line, example, times))
        cpu, peak = ([None if pair is None else pair[i] for pair in found] for i in (0, 1))
        name = line.partition(" --out")[0].format(script=example, work="", examples="", count="").replace(" /", " ")
        print(f"{name:<66}{columns(cpu, 2)}  {columns(peak, 0)}", flush=True)


def evaluations(sides: Sequence[Side], *, quick: bool, times: int) -> None:
    """Print the table of what happens inside a process."""
    taken: list[list[dict[str, float]]] = [[] for _ in sides]
    for _ in range(times):
        for side, found in zip(sides, taken, strict=True):
            with told_where_it_fails(side, "evaluation"):
                found.append(side.evaluation(5 if quick else 100))
    print(f"\n{'in one process':<66}{heads(sides, 'ms')}")
    for name in taken[-1][0] if taken[-1] else ():
        values = [statistics.median(run[name] for run in found) if found else None for found in taken]
        print(f"{name:<66}{columns(values, 2)}")


def heads(sides: Sequence[Side], unit: str) -> str:
    """Heads of the columns."""
    if len(sides) == 1:
        return f"{'now ' + unit:>9}       "
    return f"{'was ' + unit:>9}{'now ' + unit:>9}{'ratio':>7}"


def main() -> None:
    """Print both tables."""
    parser = argparse.ArgumentParser(description="Times every command beside an earlier revision; asserts nothing.")
    parser.add_argument("--before", default=BEFORE, metavar="REVISION", help=f"default {BEFORE}")
    parser.add_argument("--quick", action="store_true", help="each command once, on one example")
    parser.add_argument("--times", type=int, default=3, metavar="N", help="runs of each command; default 3")
    options = parser.parse_args()
    times = 1 if options.quick else options.times
    with tempfile.TemporaryDirectory() as folder:
        roots = [earlier(options.before, Path(folder, "before")), ROOT]
        sides = [Side(root, Path(folder, f"work{i}")) for i, root in enumerate(roots) if root is not None]
        for side in sides:
            side.work.mkdir()
            compiled(side)
        beside = f"the working tree beside {options.before}, " if len(sides) > 1 else ""
        print(f"{beside}Python {platform.python_version()}, processor time and peak memory, {times} run(s) of each")
        commands(sides, quick=options.quick, times=times)
        evaluations(sides, quick=options.quick, times=times)


if __name__ == "__main__":
    main()
