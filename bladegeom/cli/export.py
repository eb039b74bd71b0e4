"""The export: papers, cut file and report, written together."""

from __future__ import annotations

import argparse
import hashlib
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from bladegeom.cli.card import card_files
from bladegeom.cli.cut_file import cut_files
from bladegeom.cli.declared_work import route_of, settles_work
from bladegeom.cli.order import findings_of, order_of
from bladegeom.cli.papers import paper_sets, papers_of, printer_of
from bladegeom.cli.remarks import remarks_of, require_known
from bladegeom.cli.script import load_design
from bladegeom.cli.tell import errors_of, tell
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.mass.weigh import weigh
from bladegeom.writers.files import file_stem, write_all
from bladegeom.writers.proof import proof
from bladegeom.writers.report import as_json, report
from bladegeom.writers.report_text import as_text


def export(options: argparse.Namespace) -> int:
    """Write template, cut file and report into a folder."""
    design = load_design(options.script)
    knife, parameters = design.knife(options.overrides)
    told: list[str] = []
    printer = None if options.printer is None else printer_of(options.printer)
    with design.named():
        findings = findings_of(design, knife)
        require_known(options.allow, findings)
        standing = [finding for finding in errors_of(findings) if finding.code not in options.allow]
        sets = paper_sets(options.paper)
        remarks = remarks_of(findings, options.allow)
        contents = papers_of(knife, parameters, sets, remarks, printer)
        if (order := order_of(design)) is not None or settles_work(design):
            contents |= card_files(route_of(design, knife, order), sets, remarks, printer)
        if not standing:
            cut, told = cut_files(knife, sets, options.dxf, overridden=remarks)
            contents |= cut
        contents |= _reports(knife, findings, parameters, contents, options.allow)
    folder = options.out or _folder_beside(options.script)
    for path in write_all(folder, contents):
        tell(str(path))
    for line in (*told, *_left_over(folder, knife, contents)):
        tell(line)
    for finding in findings:
        if finding.severity == "warning" or finding in standing:
            tell(f"{finding.severity} [{finding.code}] {finding.message}")
    if standing:
        codes = " ".join(f"--allow {code}" for code in dict.fromkeys(finding.code for finding in standing))
        tell(f"cut file refused: mend the design, or take the risk with {codes}")
    return int(bool(standing))


def _folder_beside(script: Path) -> Path:
    return script.with_suffix("") if script.suffix else script.with_name(f"{script.name}_export")


def _left_over(folder: Path, knife: Knife, contents: Mapping[str, bytes]) -> Iterator[str]:
    """Files of this knife from an earlier export, which say something else than those written now."""
    stem = file_stem(knife.name, knife.revision)
    for path in sorted(folder.iterdir()):
        if path.name.startswith(f"{stem}_") and path.name not in contents:
            yield f"left from an earlier export, not of this design as it stands: {path}"


def _reports(
    knife: Knife,
    findings: Sequence[Finding],
    parameters: dict[str, object],
    files: Mapping[str, bytes],
    allowed: Sequence[str],
) -> dict[str, bytes]:
    weighing, stem = weigh(knife), file_stem(knife.name, knife.revision)
    content = report(knife, weighing, findings, parameters=parameters, overridden=allowed)
    page = {f"{stem}_proof.html": proof(knife, weighing, findings, content)}
    content["files"] = [
        {"path": name, "kind": name.rpartition(".")[2], "sha256": hashlib.sha256(data).hexdigest()}
        for name, data in (*files.items(), *page.items())
    ]
    return page | {f"{stem}_report.json": as_json(content).encode(), f"{stem}_report.txt": as_text(content).encode()}
