"""Make exports/ again: what `bladegeom export` writes for every example, and contact sheets of the profiles."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

from bladegeom.cli import main
from bladegeom.commands.drawer import contact_sheets
from bladegeom.settings.settings_place import VARIABLE
from bladegeom.writers.files import write_all

HERE = Path(__file__).resolve().parent
BOTH_PAPERS = ("--paper", "A4", "--paper", "Letter")
AGREED = {"galley_petty"}
"""What a customer signs for."""
NO_DESIGNS = {Path(__file__).name}


# What lies in exports/ is the same whoever makes it: no machine's settings decide.
os.environ[VARIABLE] = "none"


def designs() -> list[Path]:
    """The examples that are designs, in alphabetical order."""
    return sorted(path for path in HERE.glob("*.py") if path.name not in NO_DESIGNS)


def export_profiles(folder: Path) -> None:
    """Contact sheets of the profiles, in place of what lies in a folder."""
    shutil.rmtree(folder, ignore_errors=True)
    write_all(folder, contact_sheets())


def export_example(script: Path, folder: Path) -> int:
    """All papers and files of an example, in place of what lies in a folder; the exit status."""
    shutil.rmtree(folder, ignore_errors=True)
    status = main(["export", str(script), *BOTH_PAPERS, "--out", str(folder)])
    return max(status, agree_example(script, folder)) if script.stem in AGREED else status


def agree_example(script: Path, folder: Path) -> int:
    """The page that the customer of an example signs, beside its other papers; the exit status."""
    told = ("--maker", "the smith of the ship", "--prices", str(HERE / "prices.toml"))
    return main(["agree", str(script), *BOTH_PAPERS, *told, "--out", str(folder)])


def export_all(folder: Path) -> int:
    """Export every example into a folder of its own, and the profiles into theirs; the greatest exit status."""
    export_profiles(folder / "profiles")
    return max(export_example(script, folder / script.stem) for script in designs())


if __name__ == "__main__":
    sys.exit(export_all(HERE.parent / "exports"))
