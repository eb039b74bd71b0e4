"""With inches first every page of the examples is told so, and nothing on it runs into anything else."""

from __future__ import annotations

import re
from pathlib import Path

import pypdfium2
import pytest
import shapely
from draws import quick

from bladegeom.book.page_kind import printed
from bladegeom.book.printed import paper_sets
from bladegeom.book.register import APART, BOOK
from bladegeom.design.design import Design
from bladegeom.design.report import report
from bladegeom.drawing.drawing import Label, Sheet
from bladegeom.settings.settings import Settings
from bladegeom.writers.pdf import pdf_of_sheets
from bladegeom.writers.proof import proof
from bladegeom.writers.report_text import as_text

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
NAMES = quick(["rigging_knife", "galley_petty", "galley_chef", "kindling_knife", "traced_knife"], "rigging_knife")

MM_FIRST = re.compile(r"\d mm \([\d/.-]+( x [\d/.-]+)? in\)|\d \((\d+-)?\d+/\d+\)")
INCHES_FIRST = re.compile(r"\d in \([\d.]+( x [\d.]+)? mm\)|\d \(\d+\.\d+\)")
WRITTEN_IN_MM = re.compile(r"(as measured|glued on|^overall length), mm", re.MULTILINE)
"""What the job card leaves blank is written in the unit that is told first."""


def design(name: str) -> Design:
    return Design.from_script(EXAMPLES / f"{name}.py", settings=Settings(units="inch"))


def sheets(made: Design) -> list[Sheet]:
    with made.settings.in_force():
        return [
            sheet for page in printed(made, (BOOK, *APART), paper_sets(("A4", "Letter"), "A4")) for sheet in page.sheets
        ]


def overlapping(sheet: Sheet) -> list[tuple[str, str]]:
    """Texts whose boxes share more than a hair."""
    labels = [item for item in sheet.drawing.items if isinstance(item, Label)]
    boxes = [shapely.Polygon(label.corners).buffer(-0.05) for label in labels]
    pairs = shapely.STRtree(boxes).query(boxes, predicate="intersects").T.tolist()
    return [(labels[a].text, labels[b].text) for a, b in pairs if a < b]


@pytest.mark.parametrize("name", NAMES)
def test_every_page_is_told_in_inches_first(name: str) -> None:
    made = design(name)
    pages = sheets(made)
    for sheet in pages:
        assert overlapping(sheet) == []
    texts = [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(pdf_of_sheets(tuple(pages)))]
    assert len(texts) == len(pages)
    for text in texts:
        assert MM_FIRST.search(text) is None
        assert WRITTEN_IN_MM.search(text) is None
    assert sum(INCHES_FIRST.search(text) is not None for text in texts) > len(texts) / 2
    content = report(made)
    with made.settings.in_force():
        for words in (as_text(content), re.sub(r"<[^>]+>", "", proof(made, content).decode())):
            assert MM_FIRST.search(words) is None
            assert INCHES_FIRST.search(words)
