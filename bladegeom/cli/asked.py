"""What most commands are asked: a script, parameters of its design, errors to allow, a folder."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

from bladegeom.cli.busy import busy
from bladegeom.design.design import Design
from bladegeom.design.script import Script, load_script


def asked_design(options: argparse.Namespace) -> tuple[Script, Design]:
    """The script that is named, and its design with the parameters and allowed errors that are told."""
    script = asked_script(options.script)
    return script, design_of(script, options.overrides, allowed=tuple(getattr(options, "allow", ())))


def asked_script(path: Path) -> Script:
    """The script of a path; who waits for it is told so."""
    with busy(f"{path.name} is running"):
        return load_script(path)


def design_of(script: Script, overrides: Sequence[str] = (), *, allowed: tuple[str, ...] = ()) -> Design:
    """The design of a script with the parameters that are told, NAME=VALUE; who waits for it is told so."""
    values = script.read(overrides)
    with busy(f"design() of {script.folder.script.name} is running"):
        return Design.of_script(script, values, allowed=allowed)


def folder_of(script: Path, ending: str) -> Path:
    """The folder beside a script that is called like it; a script without an ending has its folder named apart."""
    return script.with_suffix("") if script.suffix else script.with_name(f"{script.name}_{ending}")
