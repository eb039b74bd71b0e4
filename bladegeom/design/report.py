"""The report of a design as a dictionary (format "bladegeom-report", version 1)."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from typing import Any, Final

from bladegeom.curves.flatten import flatten
from bladegeom.design.design import Design
from bladegeom.design.own_settings import in_own_settings
from bladegeom.design.report_agreement import agreement_report
from bladegeom.design.report_balance import band_report, sensitivity_report
from bladegeom.design.report_handle import drill_report, fastener_report, handle_report
from bladegeom.design.report_settings import settings_report
from bladegeom.grinding.blade_size import blade_height
from bladegeom.grinding.grind_line import grind_line
from bladegeom.grinding.grind_summary import grind_summary
from bladegeom.grinding.grind_words import tang_range
from bladegeom.grinding.zones import PlacedZone, placed_zones
from bladegeom.holes.clearance import clearances
from bladegeom.holes.cut_holes import cut_holes
from bladegeom.knife.finding import Finding
from bladegeom.knife.grind import STAGES
from bladegeom.knife.hole import Slot
from bladegeom.knife.knife import Knife
from bladegeom.knife.zone import MarkZone
from bladegeom.marking.mark_numbers import mark_numbers
from bladegeom.mass.unweighed import unweighed
from bladegeom.placing.what_binds import lightening_limits
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.tolerances import CHORD
from bladegeom.quantities.units import show_mass
from bladegeom.solids.moments import Moments
from bladegeom.solids.part import G_PER_MM3

FORMAT, VERSION = "bladegeom-report", 1

_Read = Callable[[Design], Any]


@in_own_settings
def report(design: Design, *, geometry: bool = False) -> dict[str, Any]:
    """Everything known of a design. Lengths mm, masses g, angles degrees.

    Args:
        design: The knife with all that decides about it.
        geometry: Whether to add its lines as points within 0.005 mm, in the design's frame.

    Raises:
        ParameterError: Something else than a design.

    >>> content = report(design)
    >>> content["outline"]["blade_length"], [part["name"] for part in content["parts"]]
    (110.0, ['blade', 'right scale', 'left scale', 'pin'])
    """
    checked("report: design", design, Design)
    return report_of(design, REPORT_KEYS) | ({"geometry": _geometry(design.knife)} if geometry else {})


def report_of(design: Design, keys: Iterable[str]) -> dict[str, Any]:
    """Some keys of the report; what only the others need is not computed."""
    return {key: REPORT_KEYS[key](design) for key in keys}


def _parameters(design: Design) -> dict[str, Any]:
    return {name: _plain(value) for name, value in design.parameters.items()}


def _outline(design: Design) -> dict[str, Any]:
    outline = design.knife.outline
    x0, _, x1, _ = outline.bounds
    return {
        "length": x1 - x0,
        "blade_length": outline.tip[0],
        "blade_height": blade_height(design.knife),
        "area": outline.area,
        "perimeter": outline.perimeter,
    }


def _stock(design: Design) -> dict[str, Any]:
    stock = design.knife.stock
    return {
        "material": stock.material.name,
        "metal": stock.metal_word,
        "density": stock.material.density_g_cm3,
        "thickness": stock.thickness,
        "taper": [list(station) for station in stock.taper],
        "tang": list(tang_range(design.knife)),
    }


def _stages(design: Design) -> list[dict[str, Any]]:
    density = design.knife.stock.material.density_g_cm3
    return [_stage(name, design.weighing.stage(name), density) for name in STAGES]


def _parts(design: Design) -> list[dict[str, Any]]:
    return [
        {
            "name": part.name,
            "material": part.material.name,
            "density": part.material.density_g_cm3,
            "volume": part.volume.amount,
            "mass": part.mass.amount,
            **dict(zip("xyz", part.mass.centre, strict=True)),
        }
        for part in design.weighing.parts
    ]


def _total(design: Design) -> dict[str, Any]:
    total = design.weighing.total
    if not total.amount:
        must = "be more than 0 g: the holes leave nothing of the steel; make them narrower, or fewer"
        raise ParameterError("knife: mass", 0.0, must, shown=show_mass(0.0))
    return {
        "mass": total.amount,
        "balance_x": total.centre[0],
        "balance_y": total.centre[1],
        "balance_z": total.centre[2],
        "balance_from_handle_front": design.weighing.balance_from_middle,
        "inertia_about_balance": total.polar(*total.centre[:2]),
        "unweighed": list(unweighed(design.knife)),
    }


def _lightening(design: Design) -> dict[str, Any]:
    knife, weighing = design.knife, design.weighing
    bare = weighing.without_lightening
    return {
        "mass_removed": weighing.lightening_mass.amount,
        "balance_shift": weighing.total.centre[0] - bare.centre[0],
        "without": {"mass": bare.amount, "balance_x": bare.centre[0]},
        "stops": list(lightening_limits(knife).words) if weighing.by_lightening.amount else [],
    }


def _plain(value: object) -> object:
    """A parameter as JSON can hold it: numbers, texts and yes/no as they are, anything else as text."""
    if value is None or isinstance(value, str | bool | int) or (isinstance(value, float) and math.isfinite(value)):
        return value
    return str(value)


def _holes(design: Design) -> list[dict[str, Any]]:
    knife, rows = design.knife, []
    for cut, clear in zip(cut_holes(knife), clearances(knife), strict=True):
        hole = cut.opening
        row: dict[str, Any] = {
            "id": cut.name,
            "part": "blade",
            "purpose": hole.purpose,
            "made": cut.finish,
            "cut_file": cut.way,
            "cut_diameter": cut.diameter or None,
            "x": hole.x,
            "y": hole.y,
            "diameter": hole.diameter,
            "edge_distance": clear.edge_distance,
            "rim": clear.rim,
            "web": clear.web,
            "web_to": clear.web_to,
        }
        if isinstance(hole, Slot):
            row |= {"start": list(hole.start), "end": list(hole.end)}
        rows.append(row)
    return rows


def _stage(name: str, solid: Moments, density: float) -> dict[str, Any]:
    x, y, _ = solid.centre
    return {
        "name": name,
        "volume": solid.amount,
        "mass": solid.amount * density * G_PER_MM3,
        "balance_x": x,
        "balance_y": y,
    }


def _removed(design: Design) -> list[dict[str, Any]]:
    density = design.knife.stock.material.density_g_cm3
    return [
        {
            "from": step.before,
            "to": step.after,
            "volume": step.volume.amount,
            "mass": step.volume.amount * density * G_PER_MM3,
            "balance_shift": step.balance_shift,
        }
        for step in design.weighing.steps
    ]


def _zone(placed: PlacedZone, density: float) -> dict[str, Any]:
    zone = placed.zone
    row: dict[str, Any] = {"kind": "mark" if isinstance(zone, MarkZone) else "texture", "side": zone.side}
    if isinstance(zone, MarkZone):
        row |= {"text": zone.text, "x": zone.x, "y": zone.y, "width": zone.width, "height": zone.height}
        return row | (_made(zone, density) if zone.made else {})
    return row | {"area": placed.area, "depth": zone.depth, "deepest": placed.deepest, "mass": placed.mass}


def _made(zone: MarkZone, density: float) -> dict[str, Any]:
    """How a mark is made, and what is measured on it."""
    found = mark_numbers(zone)
    return {
        "made": zone.made,
        "depth": zone.depth,
        "line": found.line,
        "gap": found.gap,
        "islands": found.islands,
        "area": found.area,
        "mass": found.volume * density * G_PER_MM3,
    }


def _zones(knife: Knife) -> list[dict[str, Any]]:
    density = knife.stock.material.density_g_cm3
    return [_zone(placed, density) for placed in placed_zones(knife)]


def _finding(finding: Finding) -> dict[str, Any]:
    names = ("code", "severity", "part", "message", "measured", "limit", "source", "x", "y")
    return {name: getattr(finding, name) for name in names}


def _geometry(knife: Knife) -> dict[str, Any]:
    outline = knife.outline
    return {
        "outline": flatten(outline.loop, CHORD).tolist(),
        "edge": flatten(outline.edge, CHORD).tolist(),
        "spine": flatten(outline.spine, CHORD).tolist(),
        "grind_line": [row.tolist() for row in grind_line(knife, "finished", knife.grind.only or "right")],
        "plunge": flatten(knife.plunge_line, CHORD).tolist(),
        "handle_front": flatten(knife.handle_front, CHORD).tolist(),
        "holes": [flatten(hole.outline, CHORD).tolist() for hole in knife.openings],
    }


REPORT_KEYS: Final[dict[str, _Read]] = {
    "format": lambda _: FORMAT,
    "version": lambda _: VERSION,
    "name": lambda design: design.knife.name,
    "revision": lambda design: design.knife.revision,
    "parameters": _parameters,
    "outline": _outline,
    "stock": _stock,
    "grind": lambda design: grind_summary(design.knife),
    "holes": _holes,
    "stages": _stages,
    "parts": _parts,
    "total": _total,
    "lightening": _lightening,
    "balance_band": band_report,
    "levers": sensitivity_report,
    "removed": _removed,
    "zones": lambda design: _zones(design.knife),
    "fasteners": fastener_report,
    "handle": handle_report,
    "drill_card": drill_report,
    "findings": lambda design: [_finding(finding) for finding in design.findings],
    "overridden": lambda design: list(dict.fromkeys(design.allowed)),
    "settings": settings_report,
    "agreement": agreement_report,
}
"""The whole report, each key with what it is read from, in the order in which it is written."""
