"""The side view of the proof: layers to switch on and off without any script, and marks that lead to the findings."""

from __future__ import annotations

from collections.abc import Sequence

from bladegeom.drawing.drawing import Drawing, Item
from bladegeom.drawing.ruler import bars
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.mass.unweighed import unweighed, without_words
from bladegeom.mass.weigh import Weighing
from bladegeom.quantities.units import show_length
from bladegeom.sheets.proof import ProofLayer, side_view
from bladegeom.sheets.proof_marks import FindingMark, finding_marks
from bladegeom.writers.proof_figure import PrintPage, canvas, print_page, svg
from bladegeom.writers.proof_html import text
from bladegeom.writers.svg import svg_elements

_GAP = 6.0
"""From the drawing to the ruler bars, mm."""

_LYING = (297.0, 210.0)
"""A page that lies, mm: the bars then stand on each other as they do on the other sheets."""

_SIZES = (("fit", "As wide as the window", " checked"), ("true", "About actual size", ""), ("double", "Twice that", ""))


def view(knife: Knife, weighing: Weighing, findings: Sequence[Finding]) -> tuple[str, str]:
    """The side view as HTML, and the CSS that switches its layers and sizes its page.

    Args:
        knife: The design.
        weighing: What it weighs.
        findings: In the order in which they are numbered.
    """
    layers = side_view(knife, weighing)
    drawn = [item for layer in layers for item in layer.items]
    marks = tuple(finding_marks(knife, findings, [item for layer in layers if layer.shown for item in layer.items]))
    drawn += [item for mark in marks for item in mark.items]
    ruler = _ruler(drawn)
    held = canvas([*drawn, *ruler])
    body = "".join(_group(layer) for layer in layers)
    body += f'<g class="layer-findings">{"".join(_linked(mark) for mark in marks)}</g>' if marks else ""
    body += f'<g id="ruler">{svg_elements(ruler)}</g>'
    switches = [(layer.key, layer.title, layer.shown) for layer in layers]
    switches += [("findings", "Findings", True)] if marks else []
    page = print_page(held)
    drawing = svg("side-view", held, f"{knife.name}, side view", _words(knife), body, role="group")
    html = (
        f"{_controls(switches)}"
        f'<div class="scroll sheet" tabindex="0" role="region" aria-label="Side view, scrolls where it is enlarged" '
        f'style="--across:{held.across}px">'
        f"{drawing}</div>\n{_print_words(page)}"
    )
    return html, _style([key for key, _, _ in switches], page)


def _ruler(drawn: Sequence[Item]) -> tuple[Item, ...]:
    """The lying pair of bars under the drawing, at its left border."""
    lying, _ = bars(*_LYING, "left")
    x0, y0, _, _ = Drawing(name="", items=tuple(drawn)).bounds
    left, _, _, top = lying.bounds
    return lying.moved(x0 - left, y0 - _GAP - top).items


def _group(layer: ProofLayer) -> str:
    return f'<g class="layer-{layer.key}">{svg_elements(layer.items)}</g>'


def _linked(mark: FindingMark) -> str:
    """A mark that leads to its finding."""
    name = f"{mark.severity} {mark.number}"
    return (
        f'<a href="#finding-{mark.number}" id="mark-{mark.number}" class="mark {mark.severity}" '
        f'aria-label="{name}, go to its text">{svg_elements(mark.items)}</a>'
    )


def _words(knife: Knife) -> str:
    x0, _, x1, _ = knife.outline.bounds
    overall = f"{show_length(x1 - x0)} overall{without_words(unweighed(knife))}"
    return (
        f"The right face of the blade, tip to the right, {overall}, with "
        f"{len(knife.openings)} holes, balance points and the places of the findings. All numbers stand in the tables."
    )


def _controls(switches: Sequence[tuple[str, str, bool]]) -> str:
    shown = "".join(
        f'<label><input type="checkbox" id="show-{key}"{" checked" if on else ""}> {text(title)}</label>'
        for key, title, on in switches
    )
    sizes = "".join(
        f'<label><input type="radio" name="size" id="size-{key}"{chosen}> {text(title)}</label>'
        for key, title, chosen in _SIZES
    )
    return (
        f'<div class="controls"><fieldset><legend>Show</legend>{shown}</fieldset>'
        f"<fieldset><legend>Size on the screen</legend>{sizes}</fieldset></div>\n"
    )


def _print_words(page: PrintPage) -> str:
    return (
        '<p class="print-words">Printed at 100 % (actual size), this view is at 1:1 and needs '
        f"<b>{text(page.words)}</b>. The bars then read 100 mm and 4 in; if they do not, the view is not to scale. "
        '<span class="screen">On a small screen pinch, or choose a larger size and scroll.</span> '
        "To glue on the bar, print the template from its PDF file: that is what it is made for.</p>\n"
    )


def _style(keys: Sequence[str], page: PrintPage) -> str:
    hide = "".join(f"#side:has(#show-{key}:not(:checked)) .layer-{key}{{display:none}}\n" for key in keys)
    if page.is_usual:
        return f"{hide}@media print{{#side{{break-inside:avoid}}}}\n"
    own = "#side{page:side;break-before:page;break-after:page;margin:0;padding:0;border:0}"
    return f"{hide}@page side{{size:{page.size};margin:10mm}}\n@media print{{{own}}}\n"
