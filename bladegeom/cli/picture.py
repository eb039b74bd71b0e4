"""The command ``picture``: a script's knife in light, as PNG."""

from __future__ import annotations

import argparse
from pathlib import Path

from bladegeom.cli.asked import asked_design, asked_script, design_of
from bladegeom.cli.busy import busy
from bladegeom.cli.tell import tell
from bladegeom.commands.picture import picture
from bladegeom.pictures.painting import require_shown
from bladegeom.quantities.units import length
from bladegeom.writers.files import require_ending


def picture_command(options: argparse.Namespace) -> int:
    """Write the picture, whatever is wrong with the knife: seen first, it may be mended."""
    out: Path = options.out or options.script.with_name(f"{options.script.stem}_{options.view}.png")
    hand = None if options.hand is None else length(options.hand)
    require_ending("--out", out, ".png")
    require_shown(options.view, options.width, options.stage, hand)
    script, design = asked_design(options)
    beside = None if options.beside is None else design_of(asked_script(options.beside))
    with script.named(), busy(f"picture of {options.script.name}"):
        made = picture(design, options.view, beside=beside, width=options.width, stage=options.stage, hand=hand)
        paths = made.save(out)
    for path in paths:
        tell(str(path))
    return 0
