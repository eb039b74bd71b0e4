"""What changed between two states of a design."""

from __future__ import annotations

import argparse
from pathlib import Path

from bladegeom.cli.declared_work import steps_of, work_of
from bladegeom.cli.order import order_of
from bladegeom.cli.script import load_design
from bladegeom.cli.tell import tell
from bladegeom.knife.revision_id import revision_id
from bladegeom.quantities.errors import ExportError
from bladegeom.studies.difference import difference, order_difference
from bladegeom.studies.work_difference import work_difference
from bladegeom.workshop.work import Work


def differ(options: argparse.Namespace) -> int:
    """Print what is not as it was: in a second script, or in the same one with other parameters."""
    scripts = [Path(text) for text in options.compared if "=" not in text]
    overrides = [text for text in options.compared if "=" in text]
    if len(scripts) not in (1, 2) or (len(scripts) == 1 and not overrides):
        raise ExportError(
            "name two scripts, the older one first, or one script and parameters to change, such as blade_length=120"
        )
    old, new = load_design(scripts[0]), load_design(scripts[-1])
    was, _ = old.knife([])
    now, _ = new.knife(overrides)
    with new.named():
        lines = (
            *difference(was, now),
            *order_difference(order_of(old), order_of(new)),
            *work_difference(*((work_of(one) or Work(), steps_of(one)) for one in (old, new))),
        )
    tell(f"from {was.name}, {revision_id(was)}, to {now.name}, {revision_id(now)}:")
    same = revision_id(was) == revision_id(now)
    for line in lines or (
        "nothing differs" if same else "only how it is written differs, such as the order of a list",
    ):
        tell(f"  {line}")
    return 0
