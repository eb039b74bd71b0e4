"""What follows from a knife, told for a screen: sizes, mass, balance, findings, differences."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from bladegeom.commands.difference import difference
from bladegeom.design.design import Design
from bladegeom.grinding.blade_size import blade_height
from bladegeom.knife.finding import Finding
from bladegeom.mass.unweighed import knife_words, unweighed, without_words
from bladegeom.quantities.balance_bands import from_front
from bladegeom.quantities.units import show_inches, show_mass, show_mm
from bladegeom.watch.dial import Dial


def numbers_told(design: Design) -> dict[str, Any]:
    """Sizes and mass as rows, the balance with its place."""
    knife, weighing = design.knife, design.weighing
    outline = knife.outline
    x0, _, x1, _ = outline.bounds
    left_out = without_words(unweighed(knife))
    lengths = (
        ("length", f"overall length{left_out}", x1 - x0),
        ("blade_length", "blade length", outline.tip[0]),
        ("blade_height", "blade height", blade_height(knife)),
        ("thickness", "thickness of the bar", knife.stock.thickness),
        ("edge_thickness", "edge thickness", knife.grind.edge_thickness),
    )
    order = -1 if design.settings.units == "inch" else 1
    rows = [(key, label, *(f"{show_mm(at)} mm", f"{show_inches(at)} in")[::order]) for key, label, at in lengths]
    rows.append(("mass", knife_words(unweighed(knife)), show_mass(weighing.total.amount), ""))
    x = weighing.balance_from_front
    return {
        "title": design.title,
        "numbers": [dict(zip(("key", "label", "value", "second"), row, strict=True)) for row in rows],
        "balance": {"x": x, "said": f"{from_front(x)}{left_out}"},
    }


def findings_told(findings: Iterable[Finding]) -> list[dict[str, Any]]:
    """Each with its place, where it has one."""
    names = ("severity", "code", "part", "message", "x", "y")
    return [{name: getattr(finding, name) for name in names} for finding in findings]


def changes_told(old: Design | None, new: Design) -> list[str]:
    """A sentence for each thing that differs; none where nothing was before."""
    return [] if old is None else list(difference(old, new))


def changed_dials(known: Mapping[str, Dial], values: Mapping[str, object]) -> list[str]:
    """A line for each parameter that is turned."""
    return [
        f"{known[name].label}: {known[name].shown(known[name].parameter.default)} -> {known[name].shown(value)}"
        for name, value in values.items()
    ]
