"""The command ``quote``: a script's design, and its order if it has one, at the maker's own prices."""

from __future__ import annotations

import argparse
import dataclasses
import sys
from pathlib import Path

from bladegeom import agreement
from bladegeom.agreement.agreed import Spoiled
from bladegeom.cli.asked import asked_design
from bladegeom.cli.busy import busy
from bladegeom.cli.starter import write_starter
from bladegeom.cli.tell import tell
from bladegeom.commands.quote import quote, quote_sheet, quote_words
from bladegeom.design.design import Design
from bladegeom.design.release import errors_of
from bladegeom.design.script import Script
from bladegeom.price.check_quote import check_quote
from bladegeom.price.price_list_toml import read_prices
from bladegeom.price.quote import Quote
from bladegeom.price.work_log import read_log
from bladegeom.quantities.papers import paper
from bladegeom.writers.files import require_ending


def quote_command(options: argparse.Namespace) -> int:
    """Print a quote, and write it as PDF where asked: 0 where everything has a price, else 1."""
    if options.starter:
        return _starter(options)
    if options.script is None:
        options.parser.error("name a script and --prices FILE.toml, or write a list to start from with --starter FILE")
    if options.out:
        require_ending("--out", options.out, ".pdf")
    page = None if options.paper is None else paper(options.paper).name
    script, design = asked_design(options)
    parser: argparse.ArgumentParser = options.parser
    listed = design.settings.price_list
    if listed is None:
        parser.error("name --prices FILE.toml, or write a list to start from with --starter FILE")
    with design.settings.in_force():
        return _quoted(options, script, design, listed, page)


def _quoted(options: argparse.Namespace, script: Script, design: Design, listed: Path, page: str | None) -> int:
    prices = read_prices(listed)
    jobs = read_log(options.log) if options.log else ()
    with script.named(), busy(f"quote of {options.script.name}"):
        made = quote(design, prices, copies=options.copies, jobs=jobs)
        missing, findings = made.missing, check_quote(made)
        agreed = _beside_agreed(design, made, options.copies)
    sys.stdout.write(quote_words(made, customer=options.customer))
    if options.out:
        with busy(f"quote of {options.script.name} as PDF"):
            paths = quote_sheet(made, customer=options.customer, paper=page).save(options.out)
        for path in paths:
            tell(f"\n{path}")
    # What the maker has to know is none of the customer's business, and stands apart from the copy.
    for line in agreed:
        tell(line, to=sys.stderr if options.customer else sys.stdout)
    if options.customer:
        for finding in findings:
            tell(f"{finding.severity} [{finding.code}] {finding.message}", to=sys.stderr)
    return int(bool(missing) or bool(errors_of(findings)))


def _beside_agreed(design: Design, made: Quote, copies: int | None) -> tuple[str, ...]:
    """A line where the design or its price is not what was agreed; by this quote, unless it is for another number."""
    found = design.agreement
    if found is None:
        return ()
    if not isinstance(found, Spoiled):
        found = dataclasses.replace(found, offer=None if copies is not None else agreement.offer_of(made))
    return agreement.differing_line(found)


def _starter(options: argparse.Namespace) -> int:
    from bladegeom.commands.starter import starter_prices  # noqa: PLC0415

    path: Path = options.starter
    if options.script is not None:
        options.parser.error("--starter writes a price list and takes no script")
    write_starter(path, starter_prices(), "prices.toml")
    tell(f"{path} written; every number in it is invented: put in your own")
    tell(f"now try: bladegeom quote SCRIPT --prices {path}")
    return 0
