"""The command ``differ``: what changed between two states of a design."""

from __future__ import annotations

import argparse
from pathlib import Path

from bladegeom import agreement
from bladegeom.cli.asked import asked_script, design_of
from bladegeom.cli.busy import busy
from bladegeom.cli.tell import tell
from bladegeom.commands.difference import difference
from bladegeom.quantities.file_errors import ExportError


def differ_command(options: argparse.Namespace) -> int:
    """Print what is not as it was: in a second script, or in the same one with other parameters."""
    scripts = [Path(text) for text in options.compared if "=" not in text]
    overrides = [text for text in options.compared if "=" in text]
    if len(scripts) not in (1, 2) or (len(scripts) == 1 and not overrides):
        raise ExportError(
            "name two scripts, the older one first, or one script and parameters to change, such as blade_length=120"
        )
    old, new = asked_script(scripts[0]), asked_script(scripts[-1])
    was, now = design_of(old), design_of(new, overrides)
    with new.named(), busy(f"what differs in {scripts[-1].name}"):
        lines = difference(was, now)
        agreed = () if now.agreement is None else agreement.differing_line(now.agreement)
    tell(f"from {was.knife.name}, {was.revision_id}, to {now.knife.name}, {now.revision_id}:")
    same = was.revision_id == now.revision_id
    for line in lines or (
        "nothing differs" if same else "only how it is written differs, such as the order of a list",
    ):
        tell(f"  {line}")
    for line in agreed:
        tell(line)
    return 0
