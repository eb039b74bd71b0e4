"""The numbers of the proof, all from the report's dictionary: sizes, masses, holes, fasteners, handle, balance."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from bladegeom.fasteners.stack_words import number_words
from bladegeom.grinding.grind_summary import plunge_words
from bladegeom.grinding.grind_words import scribe_words, side_words, taper_words
from bladegeom.mass.unweighed import knife_words, without_words
from bladegeom.quantities.balance_bands import DATUM, from_front
from bladegeom.quantities.shown import room_to_buy
from bladegeom.quantities.units import show_angle, show_length, show_mass
from bladegeom.writers.page_values import Cell, Grid, Pair, Quantity, mass_quantity, shift, size_quantity
from bladegeom.writers.report_text import STEP_WORDS, size_words, zone_words

Content = Mapping[str, Any]
"""What :func:`bladegeom.design.report.report` gives."""

_STAGES = {
    "blank": "blank, cut and drilled",
    "rough": "rough ground",
    "finished": "finished, ground to size",
    "sharp": "sharp",
}


@dataclass(frozen=True)
class Fact:
    """One of the first things that are asked: a name, words in large print, and the same in inch in small."""

    name: str
    words: str
    small: str = ""


@dataclass(frozen=True, kw_only=True)
class HandleNumbers:
    """Sections of the finished handle, what to buy, and how it fits the hand."""

    sections: Grid
    buy: tuple[Cell, ...]
    hand: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class FastenerNumbers:
    """A fastener: its stack, or where that is not known, what it is."""

    key: str
    words: Cell
    stack: Grid | None


def facts(content: Content) -> tuple[Fact, ...]:
    """What one asks first."""
    outline, total = content["outline"], content["total"]
    left_out = total["unweighed"]
    return (
        _large(f"Overall length{without_words(left_out)}", show_length(outline["length"])),
        _large("Blade length", show_length(outline["blade_length"])),
        _large("Blade height", show_length(outline["blade_height"])),
        _large("Thickness", show_length(content["stock"]["thickness"])),
        Fact(knife_words(left_out).capitalize(), show_mass(total["mass"])),
        _large(f"Balance{without_words(left_out)}", from_front(total["balance_x"])),
    )


def _large(name: str, words: str) -> Fact:
    """A length with its mm in large print."""
    mm, _, rest = words.partition(" (")
    return Fact(name, mm, rest)


def size_numbers(content: Content) -> tuple[Pair, ...]:
    """Steel, bevel and edge."""
    stock, grind = content["stock"], content["grind"]
    taper = f"; {taper_words(stock['taper'], stock['tang'])}" if stock["taper"] else ""
    scribe = grind["scribe"]
    first = f" for the first face ({show_length(scribe['stays'])} stays)" if grind["faces"] > 1 else ""
    at_heel = " at the heel" if grind["only"] and stock["taper"] else ""
    chord = " (chord)" if grind["chord"] else ""
    return (
        ("Steel", (f"{stock['material']}, ", size_quantity(stock["thickness"]), taper)),
        ("Bevel", (f"{grind['kind']}, ", size_quantity(grind["height"]), " high")),
        ("Bevel angle", f"{show_angle(grind['angle_per_side'])} degrees {side_words(grind['only'])}{chord}"),
        ("Edge before sharpening", (size_quantity(grind["edge_thickness"]),)),
        ("Scribe", f"{scribe_words(scribe['right'], scribe['left'])}{first}{at_heel}"),
        *_rough_ground(grind["rough"]),
        ("Plunge line", plunge_words(grind["plunge"])),
        *(("Zone", zone_words(zone)) for zone in content["zones"]),
    )


def _rough_ground(rough: Mapping[str, Any] | None) -> Iterator[Pair]:
    if rough is not None:
        edge = show_length(rough["edge_thickness"])
        yield rough["when"].capitalize(), ("bevel ", size_quantity(rough["height"]), f" high, edge {edge}")


def masses(content: Content) -> Grid:
    """Every part and the whole."""
    total = content["total"]
    parts: list[tuple[Cell, ...]] = [
        (part["name"], part["material"], (mass_quantity(part["mass"]),)) for part in content["parts"]
    ]
    whole = (knife_words(total["unweighed"]), "", (mass_quantity(total["mass"], strong=True),))
    return Grid(caption="Mass by part", head=("Part", "Material", "Mass"), rows=(*parts, whole))


def balance(content: Content) -> tuple[Pair, ...]:
    """Where the whole balances."""
    return tuple(_balance(content))


def _balance(content: Content) -> Iterator[Pair]:
    total, light, band = content["total"], content["lightening"], content["balance_band"]
    left_out = without_words(total["unweighed"])
    yield f"Balance{left_out}", from_front(total["balance_x"])
    if abs(total["balance_z"]) >= _OFF_MIDDLE:
        side = "right" if total["balance_z"] > 0 else "left"
        yield "Beside the middle plane", (size_quantity(abs(total["balance_z"])), f" to the {side}")
    if band is not None:
        yield "Balance wanted", (f"{band['name']}: {band['words']}; ", *_missed(band["miss"]))
    if light["mass_removed"]:
        way = "tip" if light["balance_shift"] >= 0 else "butt"
        moved = size_quantity(abs(light["balance_shift"]))
        out = mass_quantity(light["mass_removed"])
        yield f"Lightening holes{left_out}", (out, " out, balance moved ", moved, f" towards the {way}")


def _missed(miss: float | None) -> tuple[str | Quantity, ...]:
    """By how much the balance lies outside the wanted band."""
    if miss is None:
        return ("not known, for not all of it is weighed",)
    return (size_quantity(abs(miss)), f" too far {'forward' if miss > 0 else 'back'}") if miss else ("met",)


_OFF_MIDDLE = 0.005
"""Below it a scale could not tell, mm; as in the report's text."""


def stages(content: Content) -> Grid:
    """What the steel weighs after each step, and what the step took off."""
    taken = {step["to"]: step for step in content["removed"]}
    return Grid(
        caption="From blank to edge",
        head=("State", "Steel", "Last step", "It moves the steel's balance, + to the tip"),
        rows=tuple(
            (
                _STAGES[stage["name"]],
                (mass_quantity(stage["mass"]),),
                (f"{STEP_WORDS[stage['name']]}, ", mass_quantity(taken[stage["name"]]["mass"]), " off"),
                (shift(taken[stage["name"]]["balance_shift"]),),
            )
            for stage in content["stages"]
        ),
    )


def hole_numbers(content: Content) -> Grid:
    """Each hole with its place and the steel round it."""
    return Grid(
        caption="Holes in the steel",
        head=("Hole", "What for", "Size", "x", "y", "Rim", "Web"),
        rows=tuple(
            (
                hole["id"],
                f"{hole['purpose']}, {hole['made']}",
                size_words(hole),
                (size_quantity(hole["x"]),),
                (size_quantity(hole["y"]),),
                (size_quantity(hole["rim"]),),
                "" if hole["web"] is None else (size_quantity(hole["web"]), f" to {hole['web_to']}"),
            )
            for hole in content["holes"]
        ),
    )


def fasteners(content: Content) -> tuple[FastenerNumbers, ...]:
    """Each fastener with its stack."""
    return tuple(
        FastenerNumbers(key=fastener["id"], words="", stack=_stack(fastener))
        if fastener["worst"]
        else FastenerNumbers(
            key=fastener["id"], words=(f"{fastener['kind']}, dia. ", size_quantity(fastener["diameter"])), stack=None
        )
        for fastener in content["fasteners"]
    )


def _stack(fastener: Mapping[str, Any]) -> Grid:
    screw = f", screws {fastener['screw']}" if fastener["screw"] else ""
    return Grid(
        caption=f"{fastener['id']}, {fastener['kind']}{screw}",
        head=("Stack", "Nominal", "Worst case"),
        rows=tuple(
            (number_words(name), (size_quantity(fastener[name]),), (size_quantity(low), " to ", size_quantity(high)))
            for name, (low, high) in fastener["worst"].items()
        ),
    )


def handle(content: Content) -> HandleNumbers | None:
    """Sections of the finished handle, and what to buy; None where there is no handle to tell of."""
    if content["handle"] is None:
        return None
    sections = Grid(
        caption=f"Finished handle, square to its run; x from {DATUM}",
        head=("Station", "Place", "x", "Height", "Width", "Girth"),
        rows=tuple(
            (str(i), row["what"], *((size_quantity(row[name]),) for name in ("x", "height", "width", "girth")))
            for i, row in enumerate(content["handle"]["sections"], start=1)
        ),
    )
    buy = tuple(
        (
            f"{piece['pieces']} {piece['part']} of {piece['material']}, "
            f"{room_to_buy(piece['length'])} by {room_to_buy(piece['width'])}, ",
            size_quantity(piece["thickness"]),
            " thick",
        )
        for piece in content["handle"]["buy"]
    )
    return HandleNumbers(sections=sections, buy=buy, hand=tuple(content["handle"]["hand"]))


def balance_changes(content: Content) -> Grid:
    """What moves the balance, the strongest first."""
    weighed = knife_words(content["total"]["unweighed"])
    return Grid(
        caption=f"Each change alone, the {weighed} weighed again, the strongest first",
        head=("Change", "Balance, + to the tip", "Mass", "Brings errors"),
        rows=tuple(
            (
                f"{sensitivity['name']}: {sensitivity['change']}",
                "cannot be built" if sensitivity["refused"] else (shift(sensitivity["balance_shift"]),),
                "" if sensitivity["refused"] else (mass_quantity(sensitivity["mass_shift"], sign=True),),
                sensitivity["refused"] or ", ".join(sensitivity["brings"]),
            )
            for sensitivity in content["levers"]
        ),
    )
