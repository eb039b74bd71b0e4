"""The command ``order``: where each requirement of the order lands."""

from __future__ import annotations

import argparse

from bladegeom import agreement
from bladegeom.cli.asked import asked_design
from bladegeom.cli.busy import busy
from bladegeom.cli.tell import tell
from bladegeom.design.declared import ORDER
from bladegeom.quantities.file_errors import ScriptError
from bladegeom.quantities.paths import order_file
from bladegeom.signoff.order_lines import is_complete, traceability_lines


def order_command(options: argparse.Namespace) -> int:
    """Print where each requirement lands: 0 where all do and no error of the order stands, else 1."""
    script, design = asked_design(options)
    if design.order is None:
        name = order_file(options.script).name
        message = f"the script has no order; set {ORDER} = Order(...) in it, or write {name} beside it"
        raise ScriptError(str(options.script), message)
    with script.named(), design.settings.in_force():
        with busy(f"order of {options.script.name}"):
            landed, findings = design.landings, design.order_findings
        lines = [*traceability_lines(design.order, landed, findings)]
        lines += () if design.agreement is None else agreement.standing_of_agreement(design.agreement)
    options.status = int(not is_complete(landed, findings) or not landed)
    for line in lines:
        tell(line)
    return int(options.status)
