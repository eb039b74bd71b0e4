"""What is set, scribed and heeded at the grinder: numbers that are worked to, and lines of text."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from bladegeom.book.key_number import KeyNumber
from bladegeom.grinding.grind_sheet import GrindSheet
from bladegeom.grinding.grind_summary import declared_numbers, declared_words, hollow_words, lean_words, wheel_lines
from bladegeom.grinding.grind_words import scribe_words, side_words, tang_range, taper_words
from bladegeom.grinding.lower_face import SAME, LowerFace
from bladegeom.grinding.station import TILT_DEG
from bladegeom.knife.bevels.face import Face
from bladegeom.knife.grind import Stage
from bladegeom.mass.weigh import weigh
from bladegeom.quantities.shown import (
    caliper_length,
    from_to,
    gauge_angle,
    hand_angle,
    scale_mass,
    scribed_length,
)
from bladegeom.quantities.unit_order import first_unit
from bladegeom.quantities.units import MM_PER_INCH, show_length
from bladegeom.solids.part import G_PER_MM3

CAUTIONS: Final = (
    "Numbers are starting points: scribe the lines and grind to them.",
    "Edge trailing once it is thin; eyes, ears and lungs covered; no gloves at the grinder.",
)

_FINISHED = {"finished": "ground to size", "sharp": "sharpened"}


def stage_words(sheet: GrindSheet, stage: Stage) -> str:
    """What the blade is called then; a metal that is not hardened is rough ground."""
    return _FINISHED.get(stage, sheet.knife.stock.rough_words)


def worked_to(sheet: GrindSheet) -> Iterator[KeyNumber]:
    """The numbers that are set and scribed, in the order of the work."""
    for stage in sheet.stages:
        if stage != "sharp":
            yield from _scribed(sheet, stage)
    yield from _rough_height(sheet)
    yield _angle(sheet)
    yield from _wedge(sheet)
    yield _facet(sheet)


def _scribed(sheet: GrindSheet, stage: Stage) -> Iterator[KeyNumber]:
    """Where to scribe, told from the faces of the blank; a line in a face itself is none.

    To the hundredth: what it is off on either side is off twice at the edge, which has but 0.05 mm.
    """
    right, left = sheet.scribe_offsets(stage)
    lines = [("each", right)] if right == left else [("the right", right), ("the left", left)]
    stays = f"{show_length(sheet.scribed_edge(stage))} stays{', for the first face' if sheet.showing else ''}"
    if sheet.knife.stock.taper:
        stays += "; before the taper is ground"
    for face, mm in lines:
        if mm > SAME or right == left:
            what = f"Scribe on the blank's edge, {stage_words(sheet, stage)}, from {face} face"
            yield KeyNumber(what=what, shown=caliper_length(mm), limits=stays)


def _rough_height(sheet: GrindSheet) -> Iterator[KeyNumber]:
    """Where the grind line comes to lie before hardening, which is not where it ends."""
    if sheet.rough_stations and (line := sheet.rough_stations[0].grind_line) is not None:
        when = sheet.knife.stock.rough_when.capitalize()
        yield KeyNumber(what=f"{when} grind up to, at station 1, and no higher", shown=scribed_length(line))


def _angle(sheet: GrindSheet) -> KeyNumber:
    """Of the uppermost face."""
    first, only = sheet.first, sheet.knife.grind.only
    to = "spine" if first.grind_line is None else "grind line"
    return KeyNumber(
        what=f"Bevel at station 1, edge to {to}, {side_words(only)}{_chord(sheet, sheet.uppermost)}",
        shown=gauge_angle(first.angle_deg),
        limits="" if only else f"{gauge_angle(2 * first.angle_deg)} included",
    )


def _chord(sheet: GrindSheet, face: Face) -> str:
    return "" if sheet.is_flat(face) else " (chord)"


def _wedge(sheet: GrindSheet) -> Iterator[KeyNumber]:
    """What a jig is set with; nothing for a round face, which no wedge gives."""
    if not sheet.is_flat(sheet.uppermost):
        return
    # A face set below the first one may take all of it at the tip: its angle is no matter of the first one's jig.
    alone = sheet.earlier[0].sheet if sheet.earlier else sheet
    angles = [station.angle_deg for station in alone.stations]
    along = from_to(gauge_angle(min(angles)), gauge_angle(max(angles)))
    varies = f"at station 1 only: the angle varies from {along}"
    run, words = (100.0, "100 mm") if first_unit() == "mm" else (4 * float(MM_PER_INCH), "4 in")
    yield KeyNumber(
        what=f"Jig wedge, rise per {words}",
        shown=caliper_length(run * math.tan(math.radians(angles[0]))),
        limits=varies if max(angles) - min(angles) > _VARIES_DEG else "",
    )


_VARIES_DEG = 0.1
"""Where the angle varies by more along the edge, one jig wedge does not hold."""


def _facet(sheet: GrindSheet) -> KeyNumber:
    (height, width), grind = sheet.facet, sheet.knife.grind
    size = f"facet {show_length(height)} high, {show_length(width)} wide"
    return KeyNumber(
        what=f"Sharpen, {side_words(grind.only)}",
        shown=hand_angle(grind.sharpen_deg),
        limits=size if height else "no facet: the face below it comes to a point by itself",
    )


def settings(sheet: GrindSheet) -> tuple[str, ...]:
    """What is set and heeded beside that, a line each."""
    return (*_bevel_lines(sheet), *_stock_lines(sheet), _weight_line(sheet))


def _bevel_lines(sheet: GrindSheet) -> Iterator[str]:
    only = sheet.knife.grind.only
    yield f"Bevel{f', on the {only} side only' if only else ''}: {_declared(sheet, sheet.uppermost)}."
    yield from wheel_lines(sheet)
    yield from (_lower_line(sheet, lower) for lower in sheet.showing)
    if any(station.tilted for station in (*sheet.stations, *sheet.rough_stations)):
        what, instead = _JIG[sheet.is_flat(sheet.uppermost)]
        yield f"{what} {TILT_DEG:g}° off moves the grind line as in the table: scribe the line, {instead}."


_JIG = {True: ("A jig", "do not trust the jig"), False: ("A chord", "grind to it")}
"""What is set of a flat face, and of a round one, which no jig gives; and what to heed instead."""


def _lower_line(sheet: GrindSheet, lower: LowerFace) -> str:
    before = lower.face.edge_thickness > sheet.uppermost.edge_thickness
    where = ("Ground before it" if before else "Then below it") if lower.station == 1 else "Farther along the edge"
    angle = f"{gauge_angle(lower.angle_deg)} {side_words(sheet.knife.grind.only)}"
    return (
        f"{where}: {_declared(sheet, lower.face)}; {angle}{_chord(sheet, lower.face)}, "
        f"up to {show_length(lower.height)} at station {lower.station}."
    )


def _declared(sheet: GrindSheet, face: Face) -> str:
    return declared_words(face.kind, declared_numbers(face, sheet.knife.grind.faces))


def _stock_lines(sheet: GrindSheet) -> Iterator[str]:
    stock = sheet.knife.stock
    if stock.taper:
        yield f"Stock {show_length(stock.thickness)}, {taper_words(stock.taper, tang_range(sheet.knife))}."
    if sheet.knife.grind.only and stock.taper:
        yield (
            "One side alone on tapered stock: the scribed distances hold at the heel only; ground to size they are "
            f"{scribe_words(*sheet.scribe_offsets('finished', sheet.stations[-1].x))} at station "
            f"{len(sheet.stations)}."
        )


def _weight_line(sheet: GrindSheet) -> str:
    weighed, density = weigh(sheet.knife), sheet.knife.stock.material.density_g_cm3 * G_PER_MM3
    stages = (("blank", "blank"), *((stage, stage_words(sheet, stage)) for stage in sheet.stages))
    grams = (f"{words} {scale_mass(weighed.stage(stage).amount * density)}" for stage, words in stages)
    return f"The {sheet.knife.stock.metal_word} weighs: {', '.join(grams)}."


def line_words(sheet: GrindSheet) -> Iterator[tuple[str, str]]:
    """What each line of the side view is: its name, and its words."""
    plunge = sheet.knife.grind.plunge
    lean, hollow = lean_words(plunge.lean_deg), hollow_words(plunge.radius)
    yield "plunge", f"Plunge line at x {scribed_length(plunge.x)}, {lean}, {hollow}."
    if "rough" in sheet.stages:
        yield "rough", f"Grind line, {stage_words(sheet, 'rough')}."
    if any(station.grind_line is not None for station in sheet.stations):
        yield "finished", "Grind line, ground to size."
