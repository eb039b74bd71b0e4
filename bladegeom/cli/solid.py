"""The command ``solid``: the parts of a script's design as solids, in files for other programs."""

from __future__ import annotations

import argparse
import importlib

from bladegeom.cli.asked import asked_design, folder_of
from bladegeom.cli.busy import busy
from bladegeom.cli.lengths import length_of
from bladegeom.cli.tell import tell
from bladegeom.commands.solid import solid
from bladegeom.writers.files import write_all


def solid_command(options: argparse.Namespace) -> int:
    """Write the files of all formats that are asked for together, and tell what stands in them."""
    tolerance = length_of("--tolerance", options.tolerance)
    if "step" in (options.format or ()):
        # Without its kernel that is said before anything else.
        importlib.import_module("bladegeom.breps")
    script, design = asked_design(options)
    files: dict[str, bytes] = {}
    with script.named("mesh"), busy(f"solids of {options.script.name}"):
        made = solid(design, stage=options.stage, tolerance=tolerance)
        for format_name in options.format or ("3mf",):
            files |= made.files(made.stem, f".{format_name}")
    for path in write_all(options.out or folder_of(options.script, "solid"), files):
        tell(str(path))
    for line in made.told:
        tell(line)
    if "step" in (options.format or ()):
        tell("STEP: true surfaces within 0.01 mm; textures are left out, their zones are smooth")
    return 0
