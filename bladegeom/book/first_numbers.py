"""The numbers that a knife is ground to and weighed by, as its first page tells them large."""

from __future__ import annotations

from collections.abc import Iterator

from bladegeom.book.key_number import KeyNumber
from bladegeom.grinding.grind_sheet import GrindSheet
from bladegeom.grinding.grind_words import side_words
from bladegeom.grinding.lower_face import SAME
from bladegeom.knife.grind import Stage
from bladegeom.knife.knife import Knife
from bladegeom.mass.unweighed import knife_words, unweighed
from bladegeom.mass.weigh import Weighing
from bladegeom.quantities.balance_bands import side_of_front
from bladegeom.quantities.shown import (
    Shown,
    balance_place,
    caliper_length,
    gauge_angle,
    scale_mass,
    sold_thickness,
)


def key_numbers(sheet: GrindSheet, weighing: Weighing) -> Iterator[KeyNumber]:
    """Stock, angle, what is weighed; then at each stage what is scribed, and what is left at the edge."""
    stock = sheet.knife.stock
    yield KeyNumber(what=f"bar of {stock.material.name}", shown=sold_thickness(stock.thickness), limits="thick")
    yield _angle(sheet)
    yield from _weights(sheet.knife, weighing)
    if stock.hardens and "rough" not in sheet.stages:
        yield KeyNumber(what=f"edge {stock.rough_when}", shown=Shown(first="not ground"))
    for stage in sheet.stages:
        if stage != "sharp":
            yield from _stage(sheet, stage)


def _angle(sheet: GrindSheet) -> KeyNumber:
    angle, only = sheet.first.angle_deg, sheet.knife.grind.only
    chord = "" if sheet.is_flat(sheet.uppermost) else "chord's "
    included = "" if only else f"{gauge_angle(2 * angle)} included"
    shown = Shown(first=gauge_angle(angle).first, second=included)
    return KeyNumber(what=f"{chord}bevel angle {side_words(only)}", shown=shown)


def _weights(knife: Knife, weighing: Weighing) -> Iterator[KeyNumber]:
    whole, metal = knife_words(unweighed(knife)), knife.stock.metal_word
    total, steel = scale_mass(weighing.total.amount), scale_mass(weighing.blade.mass.amount)
    alone = f"; {metal} alone {steel}" if steel != total else ""
    yield KeyNumber(what=f"mass, {whole}", shown=total, limits=f"before sharpening{alone}")
    place = weighing.balance_from_front
    where = side_of_front(place)
    yield KeyNumber(what=f"balance, {whole}", shown=balance_place(abs(place)), limits=where)


def _stage(sheet: GrindSheet, stage: Stage) -> Iterator[KeyNumber]:
    when, only = _when(sheet, stage), sheet.knife.grind.only
    right, left = sheet.scribe_offsets(stage)
    ground, flat = (left, right) if only == "left" else (right, left)
    faces = "from each face" if only is None else f"from the {only} face"
    if only is not None and flat > SAME:
        faces += f", {caliper_length(flat)} from the other"
    grind = "finish" if stage == "finished" else "rough"
    if sheet.knife.stock.taper:
        faces += ", before the taper is ground"
    yield KeyNumber(what=f"scribe for the {grind} grind", shown=caliper_length(ground), limits=faces)
    edge, scribed = sheet.knife.grind.edge_thickness, sheet.scribed_edge(stage)
    told = scribed if stage == "rough" else edge
    first = f"first face {caliper_length(scribed)}" if told != scribed else ""
    yield KeyNumber(what=f"edge {when}", shown=caliper_length(told), limits=first)


def _when(sheet: GrindSheet, stage: Stage) -> str:
    stock = sheet.knife.stock
    if stage == "rough":
        return stock.rough_when
    return "after hardening" if stock.hardens else "ground to size"
