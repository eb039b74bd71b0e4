"""The proof: one HTML file that holds a whole design, to open offline, to mail, to print. It needs nothing else."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from bladegeom.drawing.drawing import Item
from bladegeom.fasteners.stack import stacks
from bladegeom.grinding.grind_sheet import GrindSheet
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.revision_id import revision_id
from bladegeom.mass.weigh import Weighing
from bladegeom.quantities.units import show_parameter
from bladegeom.sheets.proof import handle_views
from bladegeom.sheets.section import section_rows
from bladegeom.sheets.stack_section import NOTES, stack_sections
from bladegeom.writers import proof_numbers as numbers
from bladegeom.writers.proof_figure import figures
from bladegeom.writers.proof_findings import findings as findings_list
from bladegeom.writers.proof_findings import remarks, state
from bladegeom.writers.proof_html import css_text, items, section, text
from bladegeom.writers.proof_style import STYLE
from bladegeom.writers.proof_view import view
from bladegeom.writers.report_text import CAUTION

CAUTIONS = (
    CAUTION,
    "Measure on steel and slab, not on this page: cut and drill from the template, the cut file and the drill card.",
    "Cut outside the line. Gloves off at drill and grinder, eyes and lungs covered. Dust of carbon and glass fibre, "
    "laminate, wood and horn harms: extraction, and a respirator P100 or FFP3 that fits; local rules come first.",
    "These are sizes and weights. Nothing here says that the knife is strong enough, lawful to carry, or fit for food.",
)

_STACK_ROOM = 150.0
"""Height in which a section through a fastener is drawn, mm; as on the drill card."""

POLICY = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
"""The browser itself refuses whatever is not in the file."""

Figure = tuple[str, str, str, Sequence[Item]]


def proof(knife: Knife, weighing: Weighing, findings: Sequence[Finding], content: Mapping[str, Any]) -> bytes:
    """The page; the same design gives the same bytes.

    Args:
        knife: The design.
        weighing: What it weighs.
        findings: What the check says.
        content: The report of all this, from which every number is taken.
    """
    drawing, style = view(knife, weighing, findings)
    mark = revision_id(knife)
    foot = _foot(knife, mark, content)
    said = "".join(f' <b class="error">{text(one)}</b>' for one in remarks(content))
    side = f'<p class="piece"><b class="name">{text(knife.name)}, {text(mark)}.</b>{said}</p>\n{drawing}'
    parts = [
        ("side", "Side view", side),
        ("findings", "Findings", findings_list(content)),
        ("steel", "Steel and weight", _steel(content)),
        ("holes", "Holes", numbers.holes(content)),
        ("bevel", "Bevel", figures(_bevel(knife))),
        ("handle", "Handle", numbers.handle(content) + figures(_handle(knife))),
        ("fasteners", "Fasteners", numbers.fasteners(content) + figures(_stacks(knife))),
        ("levers", "What moves the balance", numbers.levers(content)),
        ("cautions", "Before cutting", f'<div class="cautions">{items(text(one) for one in CAUTIONS)}</div>'),
    ]
    links = "".join(f'<li><a href="#{key}">{text(title)}</a></li>' for key, title, body in parts if body)
    return (
        f'<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">\n'
        f'<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{text(knife.name)}, {text(mark)}</title>\n<style>{STYLE}{style}{foot}</style>\n</head>\n<body>\n"
        f"<header>\n{_head(knife, mark, content)}{state(content)}{numbers.facts(content)}"
        f'<nav aria-label="Parts of this page"><ul>{links}</ul></nav>\n</header>\n'
        f"<main>\n{''.join(section(*part) for part in parts)}</main>\n"
        f"<footer><p>{text(knife.name)}, {text(mark)}. Made by bladegeom; lengths in mm and inch.</p></footer>\n"
        "</body>\n</html>\n"
    ).encode()


def _head(knife: Knife, mark: str, content: Mapping[str, Any]) -> str:
    called = ", ".join(f"{name} {show_parameter(value)}" for name, value in content["parameters"].items())
    told = f'<p class="called">Parameters: {text(called)}</p>\n' if called else ""
    return (
        f'<p class="kicker">Proof of revision {text(knife.revision)}, <b>{text(mark)}</b></p>\n'
        f"<h1>{text(knife.name)}</h1>\n{told}"
    )


def _foot(knife: Knife, mark: str, content: Mapping[str, Any]) -> str:
    """In the lower margin of every printed page: which design this is, whether it is released, and the page."""
    name = css_text(f"{knife.name}, {mark}. {' '.join(remarks(content))}")
    small = "font:8pt system-ui,sans-serif;color:#333"
    left, right = f'@bottom-left{{content:"{name}";{small}}}', f"@bottom-right{{content:counter(page);{small}}}"
    return f"@page{{{left}{right}}}\n"


def _steel(content: Mapping[str, Any]) -> str:
    return f'<div class="numbers">{numbers.sizes(content)}{numbers.masses(content)}{numbers.stages(content)}</div>\n'


def _bevel(knife: Knife) -> Iterator[Figure]:
    rows = list(section_rows(GrindSheet(knife)))
    for i, row in enumerate(rows, start=1):
        of = f", {i} of {len(rows)}" if len(rows) > 1 else ""
        yield f"bevel-{i}", f"Sections square to the edge{of}.", "Stations by their x, heel to tip.", row


def _handle(knife: Knife) -> Iterator[Figure]:
    views = handle_views(knife)
    if views is None:
        return
    words = "As seen from its outside, with the stations of the sections."
    yield "right-scale", "Right scale.", words, views.scale
    if views.sections:
        words = "1:1, top upwards, right scale to the right; in thin lines tang and liners."
        yield "handle-sections", "Sections of the finished handle.", words, views.sections


def _stacks(knife: Knife) -> Iterator[Figure]:
    for i, (title, _, drawn) in enumerate(stack_sections(stacks(knife), _STACK_ROOM), start=1):
        yield f"stack-{i}", f"{title}.", NOTES[0], drawn
