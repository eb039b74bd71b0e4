"""Make exports/ again: what `bladegeom export` writes for every example, and contact sheets of the profiles."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

from bladegeom.cli import main
from bladegeom.cli.drawer import drawer_sheets
from bladegeom.writers.files import write_all

HERE = Path(__file__).resolve().parent
NO_DESIGNS = {Path(__file__).name}


def designs() -> list[Path]:
    """The examples that are designs, in alphabetical order."""
    return sorted(path for path in HERE.glob("*.py") if path.name not in NO_DESIGNS)


def export_all(folder: Path) -> int:
    """Export every example into a folder of its own, and the profiles into theirs; the greatest exit status."""
    status = 0
    shutil.rmtree(folder / "profiles", ignore_errors=True)
    write_all(folder / "profiles", drawer_sheets())
    for script in designs():
        target = folder / script.stem
        shutil.rmtree(target, ignore_errors=True)
        status = max(status, main(["export", str(script), "--out", str(target)]))
    return status


if __name__ == "__main__":
    sys.exit(export_all(HERE.parent / "exports"))
