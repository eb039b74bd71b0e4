"""The command ``turn``: the knife on a page to turn it in."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Final

from bladegeom.cli.asked import asked_design
from bladegeom.cli.busy import busy
from bladegeom.cli.tell import tell
from bladegeom.commands.turning_page import turning_page
from bladegeom.writers.files import require_ending, write_all

_ENDS: Final = {False: "turn", True: "turn_customer"}
"""How the page is called beside its script, the maker's and the customer's."""


def turn_command(options: argparse.Namespace) -> int:
    """Write the page, beside the script unless told otherwise."""
    if options.out:
        require_ending("--out", options.out, ".html")
    script, design = asked_design(options)
    with script.named(), busy(f"page of {options.script.name}"):
        made = turning_page(design, customer=options.customer)
    (content,) = made.values()
    path: Path = options.out or options.script.with_name(f"{options.script.stem}_{_ENDS[options.customer]}.html")
    for written in write_all(path.parent, {path.name: content}):
        tell(str(written))
    return 0
