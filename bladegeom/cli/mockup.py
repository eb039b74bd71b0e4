"""The command ``mockup``: a body of a script's knife to print and to hold."""

from __future__ import annotations

import argparse

from bladegeom.cli.asked import asked_design, folder_of
from bladegeom.cli.busy import busy
from bladegeom.cli.lengths import length_of
from bladegeom.cli.tell import tell
from bladegeom.commands.mockup import PRINT_FORMATS, mockup
from bladegeom.mockups.printing import Printing


def mockup_command(options: argparse.Namespace) -> int:
    """Write the pieces, and tell how they differ from the knife."""
    lengths = {
        "least": options.least,
        "wall": options.wall,
        "dowel_diameter": options.dowel,
        "dowel_depth": options.dowel_depth,
    }
    printing = Printing(
        bed=options.bed,
        plastic=options.plastic,
        fill=options.fill / 100,
        ballast=options.ballast,
        **{name: length_of(f"--{name.replace('_', '-')}", text) for name, text in lengths.items()},
    )
    script, design = asked_design(options)
    with script.named("printing"), busy(f"mock-up of {options.script.name}"):
        made = mockup(design, only="handle" if options.handle else "knife", halves=not options.whole, printing=printing)
    for path in made.save(options.out or folder_of(options.script, "mockup"), options.format or PRINT_FORMATS):
        tell(str(path))
    for line in made.told:
        tell(line)
    return 0
