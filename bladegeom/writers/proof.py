"""The proof: one HTML file that holds a whole design, to open offline, to mail, to print. It needs nothing else."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from bladegeom.design.design import Design
from bladegeom.knife.knife import Knife
from bladegeom.quantities.units import show_parameter
from bladegeom.sheets.proof import handle_views
from bladegeom.sheets.section import section_rows
from bladegeom.sheets.stack_section import section_lines, stack_sections
from bladegeom.writers import proof_numbers as numbers
from bladegeom.writers.html import html_page
from bladegeom.writers.proof_figure import Figure, proof_picture
from bladegeom.writers.proof_findings import finding_rows, release_state, remarks
from bladegeom.writers.proof_light import in_light
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


def proof(design: Design, content: Mapping[str, Any]) -> bytes:
    """The page; the same design gives the same bytes.

    Args:
        design: The knife, and what follows from it.
        content: The report of all this, from which every number is taken.
    """
    knife, mark, said = design.knife, design.revision_id, remarks(content)
    title = f"{knife.name}, {mark}"
    return html_page(
        "proof.html.j2",
        name=knife.name,
        mark=mark,
        revision=knife.revision,
        title=title,
        foot=f"{title}. {' '.join(said)}",
        parameters=", ".join(f"{name} {show_parameter(value)}" for name, value in content["parameters"].items()),
        remarks=said,
        state=release_state(content),
        facts=numbers.facts(content),
        in_light=in_light(design),
        view=view(design),
        findings=finding_rows(content),
        sizes=numbers.size_numbers(content),
        masses=numbers.masses(content),
        balance=numbers.balance(content),
        stages=numbers.stages(content),
        holes=numbers.hole_numbers(content),
        stops=content["lightening"]["stops"],
        bevel_pictures=tuple(_bevel(design)),
        handle=numbers.handle(content),
        handle_pictures=tuple(_handle(knife)),
        fasteners=numbers.fasteners(content),
        fastener_pictures=tuple(_stacks(design)),
        levers=numbers.balance_changes(content),
        cautions=CAUTIONS,
    )


def _bevel(design: Design) -> Iterator[Figure]:
    rows = list(section_rows(design.grind_sheet))
    for i, row in enumerate(rows, start=1):
        of = f", {i} of {len(rows)}" if len(rows) > 1 else ""
        yield proof_picture(f"bevel-{i}", f"Sections square to the edge{of}.", "Stations by their x, heel to tip.", row)


def _handle(knife: Knife) -> Iterator[Figure]:
    views = handle_views(knife)
    if views is None:
        return
    words = "As seen from its outside, with the stations of the sections."
    yield proof_picture("right-scale", "Right scale.", words, views.scale)
    if views.sections:
        words = "1:1, top upwards, right scale to the right; in thin lines tang and liners."
        yield proof_picture("handle-sections", "Sections of the finished handle.", words, views.sections)


def _stacks(design: Design) -> Iterator[Figure]:
    for i, (title, _, drawn) in enumerate(stack_sections(design.stacks, _STACK_ROOM), start=1):
        yield proof_picture(f"stack-{i}", f"{title}.", section_lines()[0], drawn)
