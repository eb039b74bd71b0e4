"""The order of a script: found in it or beside it, checked with the design, and told with where each wish lands."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Final

from bladegeom.cli.declared_work import require_named, route_of, settles_work
from bladegeom.cli.script import Design, load_design
from bladegeom.cli.tell import tell
from bladegeom.findings.check import check
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.order.order import Order
from bladegeom.order.order_toml import read_order
from bladegeom.quantities.errors import ScriptError
from bladegeom.signoff.check_order import check_made, check_order
from bladegeom.signoff.order_lines import coverage_lines, is_complete
from bladegeom.signoff.traceability import landings

NAME: Final = "ORDER"
"""What an order is called in a script."""


def order_of(design: Design) -> Order | None:
    """The order that a script holds as ORDER, or the TOML file beside it; None where there is neither.

    Raises:
        ScriptError: There are both, or ORDER is something else.
        UnreadableFileError: The file cannot be read, or says something that no order can say.
    """
    beside = _beside(design.folder.script)
    held = design.folder.held(NAME)
    require_named(design, NAME, lambda one: isinstance(one, Order))
    if held is not None and beside.exists():
        message = f"the script holds an {NAME}, and {beside.name} lies beside it: keep one of them, so that they agree"
        raise design.folder.refused(NAME, message)
    if beside.exists():
        return read_order(beside)
    if held is not None and not isinstance(held, Order):
        message = f"{NAME} is a {type(held).__name__}, not an Order: write {NAME} = Order(...)"
        raise design.folder.refused(NAME, message)
    return held


def findings_of(design: Design, knife: Knife) -> tuple[Finding, ...]:
    """What the check says of the knife, of the order that it is made for, and of the work, errors first."""
    found, wanted = check(knife), order_of(design)
    if wanted is not None or settles_work(design):
        work = route_of(design, knife, wanted)
        found = (*found, *work.findings)
        if wanted is not None:
            found = (*found, *check_order(wanted, knife, work.keys, work.settled))
    return tuple(sorted(found, key=lambda finding: finding.rank))


def order(options: argparse.Namespace) -> int:
    """Print where each requirement lands: 0 where all do and no error of the order stands, else 1."""
    design = load_design(options.script)
    knife, _ = design.knife(options.overrides)
    with design.named():
        wanted = order_of(design)
        if wanted is None:
            name = _beside(options.script).name
            message = f"has no order: set {NAME} = Order(...) in it, or write {name} beside it"
            raise ScriptError(str(options.script), message)
        work = route_of(design, knife, wanted)
        landed = landings(wanted, knife, work.keys, work.settled)
        findings = check_made(work)
    for line in coverage_lines(wanted, landed, findings):
        tell(line)
    return int(not is_complete(landed, findings) or not landed)


def _beside(script: Path) -> Path:
    return script.with_name(f"{script.stem}.order.toml")
