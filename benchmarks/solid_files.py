"""Processor time and peak memory of `bladegeom solid`, by format and example: python benchmarks/solid_files.py [TIMES].

Best of several processes, and the size of what is written; nothing is asserted. STEP needs the extra `step`.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path

import bladegeom
from bladegeom.commands.solid import SOLID_ENDINGS

EXAMPLES = Path(bladegeom.__file__).resolve().parent.parent / "examples"
NAMES = ("galley_chef", "galley_petty", "kindling_knife", "rigging_knife", "traced_knife")


def used_by(script: Path, kind: str, folder: Path) -> tuple[float, float]:
    """Processor time in s and peak memory in MB of one process.

    Raises:
        CalledProcessError: Nothing was written.
    """
    program = [sys.executable, "-m", "bladegeom", "solid", str(script), "--format", kind, "--out", str(folder)]
    environment = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    with tempfile.TemporaryFile() as printed:
        child = subprocess.Popen(program, env=environment, stdout=printed)
        _, status, used = os.wait4(child.pid, 0)
        child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode:
        raise subprocess.CalledProcessError(child.returncode, program)
    return used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


def main() -> None:
    """Print a line for each example and format."""
    times = int(sys.argv[1]) if len(sys.argv) > 1 else 3
    for name in NAMES:
        for ending in SOLID_ENDINGS:
            kind = ending.removeprefix(".")
            with tempfile.TemporaryDirectory() as folder:
                runs = [used_by(EXAMPLES / f"{name}.py", kind, Path(folder)) for _ in range(times)]
                size = sum(path.stat().st_size for path in Path(folder).iterdir())
            seconds, memory = min(taken for taken, _ in runs), min(held for _, held in runs)
            print(f"{name:<16} {kind:<5} {seconds:6.2f} s {memory:6.0f} MB, files {size / 1e6:6.2f} MB", flush=True)


if __name__ == "__main__":
    main()
