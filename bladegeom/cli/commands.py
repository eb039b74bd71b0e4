"""The commands without a module of their own: each reads its options, calls the layers above, and prints."""

from __future__ import annotations

import argparse
import inspect
import sys
from collections.abc import Sequence
from pathlib import Path

from bladegeom import profiles as shelf
from bladegeom.cli.asked import asked_design
from bladegeom.cli.tell import tell
from bladegeom.commands.drawer import names_of, profile_words, profiles_page
from bladegeom.commands.starter import starter_script
from bladegeom.design.report import report
from bladegeom.knife.finding import Finding
from bladegeom.outline.parameter import parameters as parameters_of
from bladegeom.quantities.file_errors import ExportError
from bladegeom.writers.files import require_ending, write_all
from bladegeom.writers.report_json import as_json
from bladegeom.writers.report_text import as_text


def new_command(options: argparse.Namespace) -> int:
    """Write a script to start from."""
    path: Path = options.script
    if path.name in ("", ".."):
        raise ExportError(f"'{path}' is a folder; name the script to write, for example {path / 'knife.py'}")
    if path.suffix != ".py":
        path = path.with_name(path.name + ".py")
    if not path.name.isprintable() or set(path.name) & set("\"'\\"):
        raise ExportError(f"{path.name!r} makes a poor file name; choose one without quotes and backslashes")
    if path.exists():
        raise ExportError(f"{path} exists already and is left as it is; choose another name")
    text = starter_script(path.stem, blade=options.blade, handle=options.handle)
    write_all(path.parent, {path.name: text.encode()})
    tell(f"{path} written; now try: bladegeom check {path}")
    return 0


def check_command(options: argparse.Namespace) -> int:
    """Print the findings."""
    script, design = asked_design(options)
    with script.named():
        findings = design.findings
    for finding in findings:
        tell(f"{finding.severity} [{finding.code}] {finding.message}  (source: {finding.source})")
    tell(_summary(findings))
    return int(bool(design.errors))


def report_command(options: argparse.Namespace) -> int:
    """Print the report."""
    script, design = asked_design(options)
    with script.named():
        content = report(design, geometry=options.geometry)
        text = as_json(content) if options.json else as_text(content)
    sys.stdout.write(text)
    return 0


def profiles_command(options: argparse.Namespace) -> int:
    """List the profiles, or one profile's parameters, or write them all with pictures on a page for a browser."""
    if options.html is not None:
        path: Path = options.html
        require_ending("--html", path, ".html", ".htm")
        (written,) = write_all(path.parent, {path.name: profiles_page()["profiles.html"]})
        tell(f"{written} written: all profiles, with pictures; open it in a browser")
    elif options.name:
        profile = shelf.get(options.name)
        tell(f"{profile.__name__}: {_first_line(profile)}")
        tell(f"from {profile.__module__} import {profile.__name__}")
        for p in parameters_of(profile):
            tell(f"  {p.name:<16} {p.default:>7g} {p.unit:<14} {p.low:g} to {p.high:g}: {p.meaning}")
    else:
        for half in ("blade", "handle"):
            tell(f"{half} profiles")
            for name in names_of(half):
                tell(f"  {name:<16} {profile_words(name)}")
    return 0


def _summary(findings: Sequence[Finding]) -> str:
    count = {severity: sum(f.severity == severity for f in findings) for severity in ("error", "warning", "note")}
    return ", ".join(f"{n} {severity}{'' if n == 1 else 's'}" for severity, n in count.items())


def _first_line(documented: object) -> str:
    return (inspect.getdoc(documented) or "").partition("\n")[0]
