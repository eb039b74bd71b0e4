"""The command ``quote``: a script's design, and its order if it has one, at the maker's own prices."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from bladegeom.cli.declared_work import route_of
from bladegeom.cli.endings import require_ending
from bladegeom.cli.order import order_of
from bladegeom.cli.script import load_design
from bladegeom.cli.starter import starter_prices
from bladegeom.cli.tell import errors_of, tell
from bladegeom.knife.revision_id import revision_date
from bladegeom.price.check_quote import check_quote
from bladegeom.price.price_list_toml import read_prices
from bladegeom.price.quote import quote as make_quote
from bladegeom.price.quote_text import quote_text
from bladegeom.price.quote_words import customers_copy, makers_copy
from bladegeom.price.work_log import read_log
from bladegeom.quantities.errors import ExportError
from bladegeom.quantities.tables import paper
from bladegeom.sheets.quote_sheet import quote_pages
from bladegeom.writers.files import write_all
from bladegeom.writers.pdf import pdf_of_sheets


def quote(options: argparse.Namespace) -> int:
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
    design = load_design(options.script)
    knife, _ = design.knife(options.overrides)
    order = order_of(design)
    copies = options.copies or (1 if order is None else order.quantity)
    with design.named():
        steps = route_of(design, knife, order).keys
        made = make_quote(knife, prices, copies=copies, order=order, jobs=jobs, operations=steps)
        missing, findings = made.missing, check_quote(made)
    copy = customers_copy(made) if options.customer else makers_copy(made)
    sys.stdout.write(quote_text(copy))
    if options.out:
        content = pdf_of_sheets(quote_pages(copy, page), date=revision_date(knife))
        for path in write_all(options.out.parent, {options.out.name: content}):
            tell(f"\n{path}")
    if options.customer:
        # What the maker has to know is none of the customer's business, and stands apart from the copy.
        for one in findings:
            sys.stderr.write(f"{one.severity} [{one.code}] {one.message}\n")
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
