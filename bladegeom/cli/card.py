"""The command ``card``: everything that travels with one knife through the shop, as PDF and as HTML."""

from __future__ import annotations

import argparse

from bladegeom.cli.asked import asked_design, folder_of
from bladegeom.cli.busy import busy
from bladegeom.cli.paper_lines import paper_lines
from bladegeom.cli.tell import tell, tell_findings
from bladegeom.commands.job_card import job_card


def card_command(options: argparse.Namespace) -> int:
    """Write the job card: 0 where no error stands but those allowed, else 1 and a card that says so on every page."""
    script, design = asked_design(options)
    with script.named(), busy(f"job card of {options.script.name}"):
        made = job_card(design, papers=options.paper)
    for line in paper_lines(options.paper, design.settings):
        tell(line)
    for path in made.save(options.out or folder_of(options.script, "card")):
        tell(str(path))
    tell_findings(design.standing)
    if not design.released:
        tell("the job card says NOT RELEASED on every page: mend the design or the order before anybody works by it")
    elif design.allowed:
        tell(f"on every page: {design.remarks[0]}")
    return int(not design.released)
