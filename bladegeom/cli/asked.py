"""What most commands are asked: a script, parameters of its design, errors to allow, a folder."""

from __future__ import annotations

import argparse
from pathlib import Path

from bladegeom.design.design import Design
from bladegeom.design.script import Script, load_script


def asked_design(options: argparse.Namespace) -> tuple[Script, Design]:
    """The script that is named, and its design with the parameters and allowed errors that are told."""
    script = load_script(options.script)
    allowed = tuple(getattr(options, "allow", ()))
    return script, Design.of_script(script, script.read(options.overrides), allowed=allowed)


def folder_of(script: Path, ending: str) -> Path:
    """The folder beside a script that is called like it; a script without an ending has its folder named apart."""
    return script.with_suffix("") if script.suffix else script.with_name(f"{script.name}_{ending}")
