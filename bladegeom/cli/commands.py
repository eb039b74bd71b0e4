"""The commands: each reads its options, calls the layers above, and prints."""

from __future__ import annotations

import argparse
import hashlib
import inspect
import sys
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from bladegeom import profiles as shelf
from bladegeom.body.knife import Knife
from bladegeom.cli.script import load_design
from bladegeom.cli.starter import starter_script
from bladegeom.export.files import file_stem, write_all
from bladegeom.export.report import as_json
from bladegeom.export.report import report as make_report
from bladegeom.export.report_text import as_text
from bladegeom.quantities.errors import ExportError, UnknownNameError
from bladegeom.quantities.tables import Paper, paper
from bladegeom.reason.check import check as find
from bladegeom.reason.finding import Finding
from bladegeom.reason.weigh import weigh
from bladegeom.shape.parameter import parameters as parameters_of

_PAPERS = (("A4", "A3"), ("Letter", "Tabloid"))
"""Each a paper that every printer takes, then a larger one for what does not fit on it."""


def new(options: argparse.Namespace) -> int:
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
    _print(f"{path} written; now try: bladegeom check {path}")
    return 0


def check(options: argparse.Namespace) -> int:
    """Print the findings."""
    design = load_design(options.script)
    knife, _ = design.knife(options.overrides)
    with design.named():
        findings = find(knife)
    for finding in findings:
        _print(f"{finding.severity} [{finding.code}] {finding.message}  (source: {finding.source})")
    _print(_summary(findings))
    return int(bool(_errors(findings)))


def report(options: argparse.Namespace) -> int:
    """Print the report."""
    design = load_design(options.script)
    knife, parameters = design.knife(options.overrides)
    with design.named():
        content = make_report(knife, weigh(knife), find(knife), parameters=parameters, geometry=options.geometry)
        text = as_json(content) if options.json else as_text(content)
    sys.stdout.write(text)
    return 0


def export(options: argparse.Namespace) -> int:
    """Write template, cut file and report into a folder."""
    design = load_design(options.script)
    knife, parameters = design.knife(options.overrides)
    told: list[str] = []
    with design.named():
        findings = find(knife)
        _require_known(options.allow, findings)
        standing = [finding for finding in _errors(findings) if finding.code not in options.allow]
        contents = _sheets(knife, parameters, _paper_sets(options.paper), _remarks(findings, options.allow))
        if not standing:
            cut, told = _cut_file(knife)
            contents |= cut
        contents |= _reports(knife, findings, parameters, contents, options.allow)
    folder = options.out or _folder_beside(options.script)
    for path in write_all(folder, contents):
        _print(str(path))
    for line in (*told, *_left_over(folder, knife, contents)):
        _print(line)
    for finding in findings:
        if finding.severity == "warning" or finding in standing:
            _print(f"{finding.severity} [{finding.code}] {finding.message}")
    if standing:
        codes = " ".join(f"--allow {code}" for code in dict.fromkeys(finding.code for finding in standing))
        _print(f"cut file refused: mend the design, or take the risk with {codes}")
    return int(bool(standing))


def profiles(options: argparse.Namespace) -> int:
    """List the profiles, or one profile's parameters."""
    if options.name:
        profile = shelf.get(options.name)
        _print(f"{profile.__name__}: {_first_line(profile)}")
        _print(f"from {profile.__module__} import {profile.__name__}")
        for p in parameters_of(profile):
            _print(f"  {p.name:<16} {p.default:>7g} {p.unit:<14} {p.low:g} to {p.high:g}: {p.meaning}")
        return 0
    for half in ("blade", "handle"):
        _print(f"{half} profiles")
        for name in shelf.names():
            profile = shelf.get(name)
            if shelf.half(profile) == half:
                _print(f"  {name:<16} {_first_line(sys.modules[profile.__module__])}")
    return 0


def _sheets(
    knife: Knife, parameters: dict[str, object], paper_sets: Sequence[Sequence[Paper]], remarks: Sequence[str]
) -> dict[str, bytes]:
    # The writers are imported where they are needed: a check or a report does without them.
    from bladegeom.draw.balance_pages import balance_pages  # noqa: PLC0415
    from bladegeom.draw.blade_sheet import blade_sheet  # noqa: PLC0415
    from bladegeom.draw.drill_sheet import drill_pages  # noqa: PLC0415
    from bladegeom.draw.grind_pages import grind_pages  # noqa: PLC0415
    from bladegeom.draw.handle_pages import handle_pages  # noqa: PLC0415
    from bladegeom.export.pdf import pdf_of_sheets  # noqa: PLC0415
    from bladegeom.export.svg import svg_of_sheet  # noqa: PLC0415

    weighing, stem = weigh(knife), file_stem(knife.name, knife.revision)
    out: dict[str, bytes] = {}
    for papers in paper_sets:
        chosen, sheet = blade_sheet(knife, weighing, papers, parameters=parameters, remarks=remarks)
        name = f"{stem}_template_{chosen.name}"
        out[f"{name}.svg"], out[f"{name}.pdf"] = svg_of_sheet(sheet), pdf_of_sheets([sheet])
        for what, pages_of in (
            ("grind", grind_pages),
            ("handle", handle_pages),
            ("drill", drill_pages),
            ("balance", balance_pages),
        ):
            if pages := pages_of(knife, papers, remarks=remarks):
                out[f"{stem}_{what}_{papers[0].name}.pdf"] = pdf_of_sheets(pages)
    return out


def _cut_file(knife: Knife) -> tuple[dict[str, bytes], list[str]]:
    """The file, and what was measured on it when read back."""
    from bladegeom.draw.cut import cut_drawing, left_for_the_drill  # noqa: PLC0415
    from bladegeom.export.dxf import dxf_of_drawing  # noqa: PLC0415

    text, measured = dxf_of_drawing(cut_drawing(knife))
    told = [
        f"cut file read back: {measured.loops} closed outline{'' if measured.loops == 1 else 's'} of "
        f"{measured.segments} lines and arcs, {measured.circles} circle{'' if measured.circles == 1 else 's'}, "
        f"{measured.width:.2f} x {measured.height:.2f} mm, {measured.deviation:.4f} mm off the design at most; "
        "mm, nominal size, no kerf"
    ]
    drilled = left_for_the_drill(knife)
    if drilled:
        told.append(f"not in the cut file, left for the drill: {', '.join(drilled)}")
    size = f"{measured.width:.1f}x{measured.height:.1f}mm"
    return {f"{file_stem(knife.name, knife.revision)}_cut_{size}.dxf": text}, told


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
    content = make_report(knife, weigh(knife), findings, parameters=parameters, overridden=allowed)
    stem = file_stem(knife.name, knife.revision)
    content["files"] = [
        {"path": name, "kind": name.rpartition(".")[2], "sha256": hashlib.sha256(data).hexdigest()}
        for name, data in files.items()
    ]
    return {f"{stem}_report.json": as_json(content).encode(), f"{stem}_report.txt": as_text(content).encode()}


def _paper_sets(names: list[str] | None) -> tuple[tuple[Paper, ...], ...]:
    if names:
        return tuple((paper(name),) for name in names)
    return tuple(tuple(paper(name) for name in group) for group in _PAPERS)


def _remarks(findings: Sequence[Finding], allowed: Sequence[str]) -> list[str]:
    """What every sheet must say: errors that stand, and errors that the maker overrode."""
    errors = _errors(findings)
    out = []
    for code in dict.fromkeys(f.code for f in errors if f.code in allowed):
        first, *others = (f.message for f in errors if f.code == code)
        more = f" (and {len(others)} more, see the report)" if others else ""
        out.append(f"OVERRIDDEN by the maker: {code}: {first}{more}")
    standing = [f.code for f in errors if f.code not in allowed]
    if standing:
        out.append(f"NOT RELEASED, errors stand: {', '.join(dict.fromkeys(standing))}. See the report.")
    return out


def _require_known(codes: Sequence[str], findings: Sequence[Finding]) -> None:
    """An override that matches nothing is a slip of the pen, or an error that is mended already."""
    found = {finding.code for finding in _errors(findings)}
    for code in codes:
        if not found:
            raise ExportError(f"--allow {code}: this design has no error to allow; leave it out")
        if code not in found:
            raise UnknownNameError("error of this design", code, found)


def _errors(findings: Sequence[Finding]) -> list[Finding]:
    return [finding for finding in findings if finding.severity == "error"]


def _summary(findings: Sequence[Finding]) -> str:
    count = {severity: sum(f.severity == severity for f in findings) for severity in ("error", "warning", "note")}
    return ", ".join(f"{n} {severity}{'' if n == 1 else 's'}" for severity, n in count.items())


def _first_line(documented: object) -> str:
    return (inspect.getdoc(documented) or "").partition("\n")[0]


def _print(text: str) -> None:
    sys.stdout.write(text + "\n")
