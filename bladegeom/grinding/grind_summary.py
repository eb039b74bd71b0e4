"""What the report tells of a grind: each stage's own numbers, the plunge line, and every face."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterator, Mapping
from typing import Any

from bladegeom.grinding.grind_sheet import GrindSheet, grind_sheet
from bladegeom.grinding.station import Station
from bladegeom.knife.bevels.face import Face
from bladegeom.knife.knife import Knife
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_angle, show_length, show_mm


def grind_summary(knife: Knife) -> dict[str, Any]:
    """Lengths mm, angles degrees; heights are told at the first station ahead of the plunge line."""
    sheet = grind_sheet(knife)
    grind, first, (right, left) = knife.grind, sheet.first, sheet.scribe_offsets("finished")
    return {
        "kind": grind.kind,
        "height": _height(first),
        "edge_thickness": grind.edge_thickness,
        "first_edge_thickness": sheet.in_order[0].edge_thickness,
        "angle_per_side": first.angle_deg,
        "chord": not sheet.is_flat(sheet.uppermost),
        "only": grind.only,
        "faces": 1 + len(sheet.showing),
        "scribe_from_face": left if grind.only == "left" else right,
        "scribe": {"right": right, "left": left, "stays": sheet.scribed_edge("finished")},
        "stations": [_station(station) for station in sheet.stations],
        "rough": _rough(sheet),
        "plunge": dataclasses.asdict(grind.plunge),
        "sharpen_deg": grind.sharpen_deg,
        "each_face": list(_faces(sheet)),
    }


def _height(station: Station) -> float:
    return station.reach if station.grind_line is None else station.grind_line


def _station(station: Station) -> dict[str, Any]:
    return {
        "x": station.x,
        "grind_line": station.grind_line,
        "angle_per_side": station.angle_deg,
        "half_degree_off": None if station.tilted is None else list(station.tilted),
    }


def _rough(sheet: GrindSheet) -> dict[str, Any] | None:
    """As it is ground first; None where nothing is left for a second grind."""
    if not sheet.rough_stations:
        return None
    right, left = sheet.scribe_offsets("rough")
    return {
        "when": sheet.knife.stock.rough_when,
        "height": _height(sheet.rough_stations[0]),
        "edge_thickness": sheet.knife.grind.rough_edge,
        "angle_per_side": sheet.rough_stations[0].angle_deg,
        "scribe": {"right": right, "left": left, "stays": sheet.scribed_edge("rough")},
        "stations": [_station(station) for station in sheet.rough_stations],
    }


def _faces(sheet: GrindSheet) -> Iterator[dict[str, Any]]:
    """Each as declared, with how far it shows; where it never does, nothing is told of that."""
    faces, first = sheet.knife.grind.faces, sheet.first
    shown = {id(lower.face): lower for lower in sheet.showing}
    for face in faces:
        row: dict[str, Any] = {"kind": face.kind, "declared": declared_numbers(face, faces)}
        if face is sheet.uppermost:
            yield row | {
                "shows_to": _height(first),
                "angle_per_side": first.angle_deg,
                "at_x": first.x,
            }
        elif (lower := shown.get(id(face))) is not None:
            at = sheet.stations[lower.station - 1]
            yield row | {"shows_to": lower.height, "angle_per_side": lower.angle_deg, "at_x": at.x}
        else:
            yield row | {"shows_to": None, "angle_per_side": None, "at_x": None}


def declared_numbers(face: Face, faces: tuple[Face, ...]) -> dict[str, Any]:
    """Its numbers, each under the name that the script gives it; ``under`` is the number of the face above, from 1."""
    out: dict[str, Any] = {}
    for field in dataclasses.fields(face):
        value = getattr(face, field.name)
        if isinstance(value, int | float):
            out[field.name] = value
        elif value is not None and value is face.lies_under:
            out["under"] = faces.index(value) + 1
    return out


def declared_words(kind: str, numbers: Mapping[str, float]) -> str:
    """A face's kind and numbers as the maker declared them."""
    words = []
    for name, value in numbers.items():
        if name.endswith("_deg"):
            words.append(f"{name.removesuffix('_deg').replace('_', ' ')} {show_angle(value)} degrees")
        elif name != "under":
            words.append(f"{name.replace('_', ' ')} {show_length(value)}")
    return f"{kind}, {', '.join(words)}"


def plunge_words(plunge: Mapping[str, float]) -> str:
    """Where the plunge line stands, how it leans, and the hollow along it."""
    return f"x {show_mm(plunge['x'])} mm, {lean_words(plunge['lean_deg'])}, {hollow_words(plunge['radius'])}"


def lean_words(lean_deg: float) -> str:
    """How a line across the knife leans; positive where its upper end does towards the tip.

    >>> lean_words(10.0), lean_words(0.0)
    ('leaning 10 degrees to the tip', 'upright')
    """
    if not lean_deg:
        return "upright"
    return f"leaning {show_angle(abs(lean_deg))} degrees to the {'tip' if lean_deg > 0 else 'butt'}"


def hollow_words(radius: float) -> str:
    """What the rim of a belt or wheel leaves along the plunge line."""
    return f"radius {show_length(radius)}" if radius else "a sharp step"


def wheel_lines(sheet: GrindSheet) -> Iterator[str]:
    """On which wheel each hollow lies that is declared by no wheel."""
    for face in sheet.in_order:
        wheel = face.wheel(sheet.section(face))
        if wheel is None or wheel.is_declared:
            continue
        if wheel.strays > SHOP:
            yield f"The {face.kind} lies on no single wheel: it strays {show_length(wheel.strays)} from the nearest."
        else:
            most = f"to {show_mm(wheel.greatest)}" if math.isfinite(wheel.greatest) else "and more"
            yield (
                f"By its heights the {face.kind} lies on a wheel of {show_length(wheel.diameter)}; wheels of "
                f"{show_mm(wheel.least)} {most} mm leave it within {SHOP:g} mm."
            )
