"""The command ``report``: one screen, sections of it, the whole text, or JSON."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence

from bladegeom.cli.asked import asked_design
from bladegeom.cli.busy import busy
from bladegeom.cli.tell import tell
from bladegeom.commands.report import SECTION_NAMES, glance, report_section
from bladegeom.design.design import Design
from bladegeom.design.report import report
from bladegeom.quantities.errors import ParameterError
from bladegeom.writers.report_json import as_json
from bladegeom.writers.report_text import CAUTION, as_text


def report_command(options: argparse.Namespace) -> int:
    """Print what is asked for of the report."""
    sections, options.overrides = sections_among(options.overrides)
    if sections and (options.all or options.json):
        options.parser.error(f"--{'all' if options.all else 'json'} tells every section: name none with it")
    script, design = asked_design(options)
    with script.named(), busy(f"report of {options.script.name}"):
        text = _text(options, design, sections)
    if options.json:
        sys.stdout.write(text)
    else:
        tell(text.removesuffix("\n"))
    return 0


def sections_among(words: Sequence[str]) -> tuple[list[str], list[str]]:
    """What is written behind a script: names of sections, and parameters, which have a =.

    Raises:
        ParameterError: A word without = is no section.
    """
    names = [word for word in words if "=" not in word]
    for name in names:
        if name not in SECTION_NAMES:
            must = f"be one of {', '.join(SECTION_NAMES)}; a parameter of the design is written NAME=VALUE"
            raise ParameterError("section of the report", repr(name), must, limit=SECTION_NAMES)
    return names, [word for word in words if "=" in word]


def _text(options: argparse.Namespace, design: Design, sections: Sequence[str]) -> str:
    if options.json:
        return as_json(report(design, geometry=options.geometry))
    if options.all:
        return as_text(report(design))
    if sections:
        return "\n".join((*(report_section(design, name) for name in sections), f"{CAUTION}\n"))
    return glance(design)
