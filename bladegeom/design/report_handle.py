"""The handle's part of the report: fasteners with their stacks, drill card, sections, what to buy, the hand."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from bladegeom.design.design import Design
from bladegeom.drilling.row import CardRow
from bladegeom.fasteners.hardware import Stack
from bladegeom.fasteners.stack_parts import Cut
from bladegeom.fasteners.stack_words import COUNTERSINK_DEPTH, ENGAGEMENT, FLOOR, POCKET_DEPTH
from bladegeom.handle.hand import hand_lines
from bladegeom.handle.parts import fastener_parts
from bladegeom.handle.scale_blank import blanks
from bladegeom.handle.section import handle_sections
from bladegeom.knife.knife import Knife
from bladegeom.quantities.interval import Interval


def handle_report(design: Design) -> dict[str, Any] | None:
    """Sections, what to buy and the hand; None without scales."""
    knife = design.knife
    if knife.scales is None:
        return None
    return {
        "sections": [
            {name: getattr(section, name) for name in ("what", "x", "height", "width", "girth", "diameter")}
            for section in handle_sections(knife)
        ],
        "buy": [
            {"part": blank.part, "material": blank.material.name, "pieces": blank.pieces}
            | {name: getattr(blank, name) for name in ("length", "width", "thickness")}
            for blank in blanks(knife)
        ],
        "hand": list(hand_lines(knife)),
    }


def drill_report(design: Design) -> dict[str, Any] | None:
    """The drill card; None without holes."""
    if not design.knife.openings:
        return None
    card = design.drill_card
    names = ("name", "along", "off", "diameter", "drill", "purpose", "made")
    return {
        "datum": list(card.datum_words),
        "places": [{name: getattr(place, name) for name in names} for place in card.places],
        "steps": [_step(step) for step in card.steps],
    }


def _step(step: CardRow) -> dict[str, Any]:
    return {
        "holes": list(step.holes),
        **{name: getattr(step, name) for name in ("part", "operation", "tool", "phase", "note")},
        "depth": step.depth.nominal if step.depth else None,
        "worst": _range(step.depth) if step.depth else None,
        "from": step.face,
    }


def _range(value: Interval) -> list[float]:
    return [value.low, value.high]


_ALL_NUMBERS = (ENGAGEMENT, POCKET_DEPTH, COUNTERSINK_DEPTH, FLOOR)
"""Keys that every fastener has in the report; null where its kind has no such thing."""


def fastener_report(design: Design) -> list[dict[str, Any]]:
    """Each fastener with its stack: nominal numbers, and the worst case of each beside it."""
    return [*(_fastener(stack) for stack in design.stacks), *_holes_only(design.knife)]


def _holes_only(knife: Knife) -> Iterator[dict[str, Any]]:
    """Holes for fasteners that nothing fills yet."""
    for hole, name in zip(knife.openings, knife.hole_ids, strict=True):
        if hole.purpose == "fastener" and hole in knife.holes:
            row = {"id": name, "kind": "hole only", "x": hole.x, "y": hole.y, "screw": None, "worst": {}, "bores": []}
            yield row | dict.fromkeys(("screw_length", *_ALL_NUMBERS)) | {"diameter": hole.diameter}


def _fastener(stack: Stack) -> dict[str, Any]:
    fastener, screw = stack.layers.fastener, stack.screw
    return {
        "id": stack.layers.name,
        "kind": fastener.hardware.kind,
        "x": fastener.x,
        "y": fastener.y,
        "materials": {name: made_of.name for name, made_of in fastener.hardware.materials},
        "screw_length": screw.length if screw else None,
        "screw": screw.name if screw else None,
        "mass": sum(part.mass.amount for part in fastener_parts(stack)),
        **dict.fromkeys(_ALL_NUMBERS),
        **{name: value.nominal for name, value in stack.numbers.items()},
        "worst": {name: _range(value) for name, value in stack.numbers.items()},
        "bores": [_bore(cut) for cut in stack.cuts if cut.bore.layer != "liner" or stack.layers.liner.nominal],
    }


def _bore(cut: Cut) -> dict[str, Any]:
    bore = cut.bore
    return {
        "layer": bore.layer,
        "shape": bore.shape,
        "diameter": bore.diameter,
        "drill": bore.drill.name,
        "angle": bore.angle_deg,
        "from": cut.face,
        "depth": cut.depth.nominal if cut.depth else None,
    }
