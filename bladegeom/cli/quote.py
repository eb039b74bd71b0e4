"""The command ``quote``: a script's design, and its order if it has one, at the maker's own prices."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from bladegeom.cli.asked import asked_design
from bladegeom.cli.tell import tell
from bladegeom.commands.quote import quote, quote_sheet, quote_words
from bladegeom.commands.starter import starter_prices
from bladegeom.design.release import errors_of
from bladegeom.price.check_quote import check_quote
from bladegeom.price.price_list_toml import read_prices
from bladegeom.price.work_log import read_log
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.papers import paper
from bladegeom.writers.files import require_ending, write_all


def quote_command(options: argparse.Namespace) -> int:
    """Print a quote, and write it as PDF where asked: 0 where everything has a price, else 1."""
    if options.starter:
        return _starter(options)
    if options.script is None or options.prices is None:
        options.parser.error("name a script and --prices FILE.toml, or write a list to start from with --starter FILE")
    if options.out:
        require_ending("--out", options.out, ".pdf")
    page = paper(options.paper)
    prices = read_prices(options.prices)
    jobs = read_log(options.log) if options.log else ()
    script, design = asked_design(options)
    with script.named():
        made = quote(design, prices, copies=options.copies, jobs=jobs)
        missing, findings = made.missing, check_quote(made)
    sys.stdout.write(quote_words(made, customer=options.customer))
    if options.out:
        for path in quote_sheet(made, customer=options.customer, paper=page.name).save(options.out):
            tell(f"\n{path}")
    if options.customer:
        # What the maker has to know is none of the customer's business, and stands apart from the copy.
        for finding in findings:
            sys.stderr.write(f"{finding.severity} [{finding.code}] {finding.message}\n")
    return int(bool(missing) or bool(errors_of(findings)))


def _starter(options: argparse.Namespace) -> int:
    path: Path = options.starter
    if options.script is not None:
        options.parser.error("--starter writes a price list and takes no script")
    if path.is_dir():
        raise ExportError(f"{path} is a folder; name the file to write, for example {path / 'prices.toml'}")
    if path.exists():
        raise ExportError(f"{path} exists already and is left as it is; choose another name")
    write_all(path.parent, {path.name: starter_prices().encode()})
    tell(f"{path} written; every number in it is invented: put in your own")
    tell(f"now try: bladegeom quote SCRIPT --prices {path}")
    return 0
