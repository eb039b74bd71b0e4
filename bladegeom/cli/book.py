"""The command ``book``: everything that travels with one knife through the shop, as PDF, and a card for a screen."""

from __future__ import annotations

import argparse

from bladegeom.cli.asked import asked_design, folder_of
from bladegeom.cli.busy import busy
from bladegeom.cli.paper_lines import paper_lines
from bladegeom.cli.tell import tell, tell_findings
from bladegeom.commands.bench_book import bench_book


def book_command(options: argparse.Namespace) -> int:
    """Write the bench book: 0 where no error stands but those allowed, else 1 and a book that says so on every page."""
    script, design = asked_design(options)
    with script.named(), busy(f"bench book of {options.script.name}"):
        made = bench_book(design, papers=options.paper)
    for line in paper_lines(options.paper, design.settings):
        tell(line)
    for path in made.save(options.out or folder_of(options.script, "book")):
        tell(str(path))
    tell_findings(design.standing)
    if not design.released:
        tell("the book says NOT RELEASED on every page: mend the design or the order before anybody works by it")
    elif design.allowed:
        tell(f"on every page: {design.remarks[0]}")
    return int(not design.released)
