"""The side view of the proof: layers to switch on and off without any script, and marks that lead to the findings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Drawing, Item
from bladegeom.drawing.ruler import bars
from bladegeom.knife.knife import Knife
from bladegeom.mass.unweighed import unweighed, without_words
from bladegeom.quantities.units import show_length
from bladegeom.sheets.proof import ProofLayer, side_view
from bladegeom.sheets.proof_marks import FindingMark, finding_marks
from bladegeom.writers.proof_figure import Figure, PrintPage, canvas, print_page

_GAP = 6.0
"""From the drawing to the ruler bars, mm."""

_LYING = (297.0, 210.0)
"""A page that lies, mm: the bars then stand on each other as they do on the other sheets."""


@dataclass(frozen=True, kw_only=True)
class Switch:
    """What shows or hides a layer.

    Args:
        key: Of the layer.
        title: What it is called.
        on: Whether it is shown at first.
    """

    key: str
    title: str
    on: bool


@dataclass(frozen=True, kw_only=True)
class SideView:
    """The side view.

    Args:
        picture: What it is shown in, and what it is in words; its items are those of the layers, marks and ruler.
        layers: From the lowest up.
        marks: Over them, one for each finding that has a place.
        ruler: Bars under the drawing.
        switches: One for each layer, and for the marks.
        page: That it is printed on.
    """

    picture: Figure
    layers: tuple[ProofLayer, ...]
    marks: tuple[FindingMark, ...]
    ruler: tuple[Item, ...]
    switches: tuple[Switch, ...]
    page: PrintPage


def view(design: Design) -> SideView:
    """The side view of a design.

    Args:
        design: Its findings are numbered in their order.
    """
    knife, layers = design.knife, tuple(side_view(design.knife))
    drawn = [item for layer in layers for item in layer.items]
    shown = [item for layer in layers if layer.shown for item in layer.items]
    marks = tuple(finding_marks(knife, design.findings, shown))
    drawn += [item for mark in marks for item in mark.items]
    ruler = _ruler(drawn)
    items = (*drawn, *ruler)
    switches = [Switch(key=layer.key, title=layer.title, on=layer.shown) for layer in layers]
    switches += [Switch(key="findings", title="Findings", on=True)] if marks else []
    held = canvas(items)
    title = f"{knife.name}, side view"
    picture = Figure(key="side-view", title=title, words=_words(knife), canvas=held, items=items)
    return SideView(
        picture=picture, layers=layers, marks=marks, ruler=ruler, switches=tuple(switches), page=print_page(held)
    )


def _ruler(drawn: Sequence[Item]) -> tuple[Item, ...]:
    """The lying pair of bars under the drawing, at its left border."""
    lying, _ = bars(*_LYING, "left")
    x0, y0, _, _ = Drawing(name="", items=tuple(drawn)).bounds
    left, _, _, top = lying.bounds
    return lying.moved(x0 - left, y0 - _GAP - top).items


def _words(knife: Knife) -> str:
    x0, _, x1, _ = knife.outline.bounds
    overall = f"{show_length(x1 - x0)} overall{without_words(unweighed(knife))}"
    return (
        f"The right face of the blade, tip to the right, {overall}, with "
        f"{len(knife.openings)} holes, balance points and the places of the findings. All numbers stand in the tables."
    )
