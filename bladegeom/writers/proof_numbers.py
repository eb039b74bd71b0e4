"""The numbers of the proof, all from the report's dictionary: sizes, masses, holes, fasteners, handle, levers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from bladegeom.fasteners.stack_words import number_words
from bladegeom.grinding.grind_sheet import scribe_words, side_words, taper_words
from bladegeom.grinding.grind_summary import plunge_words
from bladegeom.mass.unweighed import knife_words, without_words
from bladegeom.quantities.balance_bands import DATUM, from_front
from bladegeom.quantities.units import show_angle, show_length, show_room
from bladegeom.writers.proof_html import grams, items, pairs, shift, size, table, text
from bladegeom.writers.report_text import STEP_WORDS, size_words, zone_words

Content = Mapping[str, Any]
"""What :func:`bladegeom.writers.report.report` gives."""

_STAGES = {
    "blank": "blank, cut and drilled",
    "rough": "rough ground",
    "finished": "finished, ground to size",
    "sharp": "sharp",
}


def facts(content: Content) -> str:
    """What one asks first."""
    outline, total = content["outline"], content["total"]
    left_out = total["unweighed"]
    rows = (
        (f"Overall length{without_words(left_out)}", _large(show_length(outline["length"]))),
        ("Blade length", _large(show_length(outline["blade_length"]))),
        ("Blade height", _large(show_length(outline["blade_height"]))),
        ("Thickness", _large(show_length(content["stock"]["thickness"]))),
        (knife_words(left_out).capitalize(), grams(total["mass"])),
        (f"Balance{without_words(left_out)}", _large(from_front(total["balance_x"]))),
    )
    return f'<div class="facts">{pairs(rows)}</div>\n'


def _large(words: str) -> str:
    """A length with its mm in large print."""
    mm, _, rest = words.partition(" (")
    return f'<span class="q">{text(mm)}</span> <small>({text(rest)}</small>'


def sizes(content: Content) -> str:
    """Steel, bevel and edge."""
    stock, grind = content["stock"], content["grind"]
    taper = f"; {text(taper_words(stock['taper'], stock['tang']))}" if stock["taper"] else ""
    scribe = grind["scribe"]
    first = f" for the first face ({show_length(scribe['stays'])} stays)" if grind["faces"] > 1 else ""
    at_heel = " at the heel" if grind["only"] and stock["taper"] else ""
    chord = " (chord)" if grind["chord"] else ""
    return pairs(
        [
            ("Steel", f"{text(stock['material'])}, {size(stock['thickness'])}{taper}"),
            ("Bevel", f"{text(grind['kind'])}, {size(grind['height'])} high"),
            ("Bevel angle", f"{show_angle(grind['angle_per_side'])} degrees {text(side_words(grind['only']))}{chord}"),
            ("Edge before sharpening", size(grind["edge_thickness"])),
            ("Scribe", text(f"{scribe_words(scribe['right'], scribe['left'])}{first}{at_heel}")),
            *_rough_ground(grind["rough"]),
            ("Plunge line", text(plunge_words(grind["plunge"]))),
            *(("Zone", text(zone_words(zone))) for zone in content["zones"]),
        ]
    )


def _rough_ground(rough: Mapping[str, Any] | None) -> Iterator[tuple[str, str]]:
    if rough is not None:
        edge = show_length(rough["edge_thickness"])
        yield rough["when"].capitalize(), f"bevel {size(rough['height'])} high, {text(f'edge {edge}')}"


def masses(content: Content) -> str:
    """Every part, the whole, and where it balances."""
    total = content["total"]
    rows = [[text(part["name"]), text(part["material"]), grams(part["mass"])] for part in content["parts"]]
    rows.append([knife_words(total["unweighed"]), "", f"<b>{grams(total['mass'])}</b>"])
    return table("Mass by part", ("Part", "Material", "Mass"), rows) + pairs(_balance(content))


def _balance(content: Content) -> Iterator[tuple[str, str]]:
    total, light, band = content["total"], content["lightening"], content["balance_band"]
    left_out = without_words(total["unweighed"])
    yield f"Balance{left_out}", text(from_front(total["balance_x"]))
    if abs(total["balance_z"]) >= _OFF_MIDDLE:
        side = "right" if total["balance_z"] > 0 else "left"
        yield "Beside the middle plane", f"{size(abs(total['balance_z']))} to the {side}"
    if band is not None:
        way = "forward" if (band["miss"] or 0.0) > 0 else "back"
        told = f"{size(abs(band['miss']))} too far {way}" if band["miss"] else "met"
        if band["miss"] is None:
            told = "not known, for not all of it is weighed"
        yield "Balance wanted", f"{text(band['name'])}: {text(band['words'])}; {told}"
    if light["mass_removed"]:
        way = "tip" if light["balance_shift"] >= 0 else "butt"
        moved = size(abs(light["balance_shift"]))
        yield (
            f"Lightening holes{left_out}",
            f"{grams(light['mass_removed'])} out, balance moved {moved} towards the {way}",
        )


_OFF_MIDDLE = 0.005
"""Below it a scale could not tell, mm; as in the report's text."""


def stages(content: Content) -> str:
    """What the steel weighs after each step, and what the step took off."""
    taken = {step["to"]: step for step in content["removed"]}
    rows = [
        [
            text(_STAGES[stage["name"]]),
            grams(stage["mass"]),
            f"{text(STEP_WORDS[stage['name']])}, {grams(taken[stage['name']]['mass'])} off",
            shift(taken[stage["name"]]["balance_shift"]),
        ]
        for stage in content["stages"]
    ]
    head = ("State", "Steel", "Last step", "It moves the steel's balance, + to the tip")
    return table("From blank to edge", head, rows)


def holes(content: Content) -> str:
    """Each hole with its place and the steel round it."""
    if not content["holes"]:
        return ""
    rows = [
        [
            text(hole["id"]),
            f"{text(hole['purpose'])}, {text(hole['made'])}",
            text(size_words(hole)),
            size(hole["x"]),
            size(hole["y"]),
            size(hole["rim"]),
            "" if hole["web"] is None else f"{size(hole['web'])} to {text(hole['web_to'])}",
        ]
        for hole in content["holes"]
    ]
    words = "x from where the spine meets the handle front, + to the tip; y + upwards; rim: hole to outline."
    head = ("Hole", "What for", "Size", "x", "y", "Rim", "Web")
    stops = content["lightening"]["stops"]
    why = f"<h3>What stops the lightening holes</h3>{items(text(one) for one in stops)}" if stops else ""
    return table("Holes in the steel", head, rows) + f'<p class="print-words">{words}</p>\n{why}'


def fasteners(content: Content) -> str:
    """Each fastener with its stack."""
    out = []
    for one in content["fasteners"]:
        screw = f", screws {one['screw']}" if one["screw"] else ""
        if not one["worst"]:
            out.append(f"<p><b>{text(one['id'])}</b> {text(one['kind'])}, dia. {size(one['diameter'])}</p>\n")
            continue
        rows = [
            [text(number_words(name)), size(one[name]), f"{size(low)} to {size(high)}"]
            for name, (low, high) in one["worst"].items()
        ]
        out.append(table(f"{one['id']}, {one['kind']}{screw}", ("Stack", "Nominal", "Worst case"), rows))
    return f'<div class="numbers">{"".join(out)}</div>' if out else ""


def handle(content: Content) -> str:
    """Sections of the finished handle, and what to buy."""
    if content["handle"] is None:
        return ""
    rows = [
        [str(i), text(one["what"]), size(one["x"]), *(size(one[name]) for name in ("height", "width", "girth"))]
        for i, one in enumerate(content["handle"]["sections"], start=1)
    ]
    head = ("Station", "Place", "x", "Height", "Width", "Girth")
    buy = [
        f"{one['pieces']} {text(one['part'])} of {text(one['material'])}, "
        f"{text(show_room(one['length']))} by {text(show_room(one['width']))}, {size(one['thickness'])} thick"
        for one in content["handle"]["buy"]
    ]
    hand = content["handle"]["hand"]
    return (
        (table(f"Finished handle, square to its run; x from {DATUM}", head, rows) if rows else "")
        + f"<h3>To buy</h3>{items(buy)}"
        + (f"<h3>The hand</h3>{items(text(one) for one in hand)}" if hand else "")
    )


def levers(content: Content) -> str:
    """What moves the balance, the strongest first."""
    rows = [
        [
            f"{text(one['name'])}: {text(one['change'])}",
            "cannot be built" if one["refused"] else shift(one["balance_shift"]),
            "" if one["refused"] else grams(one["mass_shift"], sign=True),
            text(one["refused"] or ", ".join(one["brings"])),
        ]
        for one in content["levers"]
    ]
    head = ("Change", "Balance, + to the tip", "Mass", "Brings errors")
    words = f"Each change alone, the {knife_words(content['total']['unweighed'])} weighed again, the strongest first"
    return table(words, head, rows) if rows else ""
