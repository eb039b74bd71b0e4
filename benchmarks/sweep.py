"""How a sweep grows with its variants and with processes: python benchmarks/sweep.py [VARIANTS] (nothing is asserted).

Prints wall time at a quarter, a half and the whole of the variants, and the resident memory of the process that asks
and of its workers at these times (Linux only). The load of the machine and the processor time of the workers stand
beside: where wall time is more than that time divided by the workers, others had the processors.
"""

from __future__ import annotations

import itertools
import multiprocessing
import os
import resource
import sys
import time
from pathlib import Path

from bladegeom.commands.script_design import ScriptDesign
from bladegeom.studies.processes import cores, processes
from bladegeom.studies.sweep import combinations, sweep

EXAMPLE = Path(__file__).resolve().parent.parent / "examples" / "rigging_knife.py"

THICKNESSES = tuple(3.5 + 0.1 * i for i in range(10))
"""The inner parameter: every stretch of ten variants costs about the same, so that growth can be read."""


def resident(pid: int | str) -> float:
    """Resident memory of a process, MB; 0 where the system does not tell."""
    status = Path(f"/proc/{pid}/status")
    lines = status.read_text().splitlines() if status.exists() else []
    return sum(int(line.split()[1]) / 1024 for line in lines if line.startswith("VmRSS:"))


def by_workers() -> float:
    """Processor time of all workers that have ended, s."""
    usage = resource.getrusage(resource.RUSAGE_CHILDREN)
    return usage.ru_utime + usage.ru_stime


def run(count: int, jobs: int) -> float:
    """Seconds for a number of variants on some processes; prints them on the way."""
    grid = {"blade_length": [95.0 + 40.0 * i * 10 / count for i in range(-(-count // 10))], "thickness": THICKNESSES}
    variants = itertools.islice(combinations(grid), count)
    marks = {1, count // 4, count // 2, count}
    print(f"{jobs} process{'es' if jobs > 1 else ''}, load {os.getloadavg()[0]:.1f}")
    start, failed, before, used = time.perf_counter(), 0, resident("self"), by_workers()
    with processes(jobs) as pool:
        for number, row in enumerate(sweep(ScriptDesign(EXAMPLE), variants, executor=pool), 1):
            failed += row.failed
            if number in marks:
                taken = time.perf_counter() - start
                workers = ", ".join(f"{resident(child.pid or 0):.0f}" for child in multiprocessing.active_children())
                print(
                    f"  {number:>6} variants {taken:8.2f} s {1e3 * taken / number:8.1f} ms each, "
                    f"resident {before:.0f} -> {resident('self'):.0f} MB, workers {workers} MB"
                )
    taken = time.perf_counter() - start
    print(f"  all in {taken:.2f} s, {failed} failed; processor time {by_workers() - used:.2f} s")
    return taken


def main() -> None:
    """Print the table."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    seconds = run(count, 1)
    for jobs in sorted({2, cores()}):
        print(f"  speed-up {seconds / run(count, jobs):.2f} on {jobs} processes")


if __name__ == "__main__":
    main()
