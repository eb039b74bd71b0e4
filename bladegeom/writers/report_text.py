"""The report of a design for reading, lengths in mm and inch."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from bladegeom.fasteners.stack_words import number_words
from bladegeom.grinding.grind_summary import declared_words, plunge_words
from bladegeom.grinding.grind_words import scribe_words, side_words, taper_words
from bladegeom.mass.unweighed import without_words
from bladegeom.quantities.balance_bands import DATUM, from_front
from bladegeom.quantities.shown import room_to_buy
from bladegeom.quantities.unit_order import told_first
from bladegeom.quantities.units import show_angle, show_fine, show_length, show_mass, show_mm
from bladegeom.writers.report_balance import band_line, sensitivity_lines
from bladegeom.writers.report_settings import settings_lines


def as_text(content: Mapping[str, Any]) -> str:
    """The report as lines of text; ``content`` is what :func:`bladegeom.design.report.report` gives.

    >>> from bladegeom import report
    >>> print(as_text(report(design)).splitlines()[3])
    blade length       110.00 mm (4.331 in), handle front at the spine to tip
    """
    with told_first(content["settings"]["units"]["value"]):
        paragraphs = ("\n".join(lines) for lines in _paragraphs(content))
        return "\n\n".join(paragraph for paragraph in paragraphs if paragraph) + "\n"


def _paragraphs(content: Mapping[str, Any]) -> tuple[Iterable[str], ...]:
    return (
        (f"{content['name']}, revision {content['revision']}",),
        (*length_lines(content), *stock_lines(content), *grind_lines(content)),
        (*part_lines(content), *balance_lines(content)),
        step_lines(content),
        lever_lines(content),
        hole_lines(content),
        stop_lines(content),
        fastener_lines(content),
        handle_lines(content),
        zone_lines(content),
        setting_lines(content),
        finding_lines(content),
        (CAUTION,),
    )


def length_lines(content: Mapping[str, Any]) -> Iterator[str]:
    """How long and how high."""
    outline = content["outline"]
    yield f"overall length     {show_length(outline['length'])}{_left_out(content)}"
    yield f"blade length       {show_length(outline['blade_length'])}, handle front at the spine to tip"
    yield f"blade height       {show_length(outline['blade_height'])}"


def stock_lines(content: Mapping[str, Any]) -> Iterator[str]:
    """The bar."""
    stock = content["stock"]
    taper = f", {taper_words(stock['taper'], stock['tang'])}" if stock["taper"] else ""
    yield f"stock              {stock['material']}, {show_length(stock['thickness'])}{taper}"


def part_lines(content: Mapping[str, Any]) -> Iterator[str]:
    """What each part weighs, and all of them together."""
    total, left_out = content["total"], _left_out(content)
    for part in content["parts"]:
        yield f"{part['name']:<18} {show_mass(part['mass']):>9}  {part['material']}"
    yield f"{'whole knife' if not left_out else 'what is weighed':<18} {show_mass(total['mass']):>9}{left_out}"


def balance_lines(content: Mapping[str, Any]) -> Iterator[str]:
    """Where it balances, where it is wanted to, and what the lightening holes do for it."""
    total, left_out = content["total"], _left_out(content)
    yield f"balance            {from_front(total['balance_x'])}{left_out}"
    yield from _off_middle(total)
    yield from band_line(content["balance_band"])
    yield from (f"{line}{left_out}" for line in _lightening_line(content["lightening"]))


def step_lines(content: Mapping[str, Any]) -> Iterator[str]:
    """What each step of the work takes off the steel."""
    metal = content["stock"]["metal"]
    yield f"what each step takes off the {metal}; + moves the balance towards the tip"
    for step in content["removed"]:
        shift = f"balance of the {metal} {show_mm(step['balance_shift'], sign=True):>6} mm"
        yield f"  {STEP_WORDS[step['to']]:<16} {show_mass(step['mass']):>9}, {shift}"


def lever_lines(content: Mapping[str, Any]) -> Iterator[str]:
    """What moves the balance."""
    return sensitivity_lines(content["levers"])


def hole_lines(content: Mapping[str, Any]) -> Iterator[str]:
    """Every hole, if there are any."""
    if content["holes"]:
        yield f"holes; x and y in mm, x from {DATUM}, + towards the tip; rim: hole to outline"
    for h in content["holes"]:
        place = f"x {show_mm(h['x']):>8}  y {show_mm(h['y']):>7}"
        yield f"  {h['id']:<4} {h['purpose']:<10} {place}  {size_words(h):<27} rim {show_mm(h['rim']):>5} mm"


def stop_lines(content: Mapping[str, Any]) -> Iterator[str]:
    """Why the lightening holes are no more and no wider, if there are any."""
    if stops := content["lightening"]["stops"]:
        yield "what stops the lightening holes"
        yield from (f"  {words}" for words in stops)


def fastener_lines(content: Mapping[str, Any]) -> Iterator[str]:
    """Every fastener with its depths, if there are any."""
    if content["fasteners"]:
        yield "fasteners; depths into each scale as a flat slab; worst case in brackets"
    for fastener in content["fasteners"]:
        yield from _one_fastener(fastener)


def handle_lines(content: Mapping[str, Any]) -> Iterator[str]:
    """The finished handle and what to buy for it, if it has scales."""
    if content["handle"]:
        yield f"handle, square to its run; x in mm from {DATUM}"
        yield from _sections_and_slabs(content["handle"])


def zone_lines(content: Mapping[str, Any]) -> Iterator[str]:
    """Texture and marks, if there are any."""
    if content["zones"]:
        yield "zones"
        yield from (f"  {zone_words(zone)}" for zone in content["zones"])


def setting_lines(content: Mapping[str, Any]) -> Iterator[str]:
    """What it is made with, and where that comes from."""
    yield "settings"
    yield from (f"  {line}" for line in settings_lines(content["settings"]))


def agreement_lines(content: Mapping[str, Any]) -> Iterator[str]:
    """What was agreed with the customer, and what differs from it; nothing where nothing was agreed."""
    if (agreed := content["agreement"]) is None:
        return
    yield "agreement"
    yield f"  {agreed['words']}"
    yield from (f"  {each['message']}" for each in agreed.get("seen", ()))


def finding_lines(content: Mapping[str, Any]) -> Iterator[str]:
    """What is wrong or worth knowing."""
    yield "findings" if content["findings"] else "no findings"
    for f in content["findings"]:
        allowed = " OVERRIDDEN" if f["code"] in content["overridden"] else ""
        yield f"  {f['severity']}{allowed} [{f['code']}] {f['message']}"


def _left_out(content: Mapping[str, Any]) -> str:
    return without_words(content["total"]["unweighed"])


def grind_lines(content: Mapping[str, Any]) -> Iterable[str]:
    """How the blade is ground."""
    grind, tapered = content["grind"], bool(content["stock"]["taper"])
    scribe, only = grind["scribe"], grind["only"]
    first = f" for the first face ({show_length(scribe['stays'])} stays)" if grind["faces"] > 1 else ""
    return (
        f"bevel              {grind['kind']}, {show_length(grind['height'])} high, "
        f"{show_angle(grind['angle_per_side'])} degrees {side_words(only)}{' (chord)' if grind['chord'] else ''}",
        f"edge               {show_length(grind['edge_thickness'])}; scribe "
        f"{scribe_words(scribe['right'], scribe['left'])}{first}{' at the heel' if only and tapered else ''}",
        *_face_lines(grind["each_face"], side_words(only)),
        *_rough_line(grind["rough"]),
        f"plunge line        {plunge_words(grind['plunge'])}",
    )


def _face_lines(faces: Sequence[Mapping[str, Any]], side: str) -> Iterator[str]:
    """Every face as declared, and how far it shows; a single one is told already."""
    for number, face in enumerate(faces if len(faces) > 1 else (), start=1):
        shows = (
            "never shows"
            if face["shows_to"] is None
            else f"up to {show_length(face['shows_to'])} at x {show_mm(face['at_x'])} mm, "
            f"{face['angle_per_side']:.2f} degrees {side}"
        )
        yield f"{f'face {number}':<18} {declared_words(face['kind'], face['declared'])}; {shows}"


def _rough_line(rough: Mapping[str, Any] | None) -> Iterator[str]:
    if rough is not None:
        scribe = rough["scribe"]
        yield (
            f"{rough['when']:<19}bevel {show_length(rough['height'])} high; "
            f"edge {show_length(rough['edge_thickness'])}, scribe {scribe_words(scribe['right'], scribe['left'])}"
        )


def _off_middle(total: Mapping[str, float]) -> tuple[str, ...]:
    """How far the balance lies beside the tang's middle, where a scale could tell it."""
    z = total["balance_z"]
    if abs(z) < 0.005:
        return ()
    return (f"                   {show_length(abs(z))} off the middle plane to the {'right' if z > 0 else 'left'}",)


def _lightening_line(light: Mapping[str, Any]) -> tuple[str, ...]:
    if not light["mass_removed"]:
        return ()
    to = "tip" if light["balance_shift"] >= 0 else "butt"
    grams, mm = light["mass_removed"], abs(light["balance_shift"])
    return (f"lightening holes   {show_mass(grams)} out, balance moved {show_mm(mm)} mm towards the {to}",)


def size_words(hole: Mapping[str, Any]) -> str:
    """How large a hole or a slot is."""
    way = math.dist(hole["start"], hole["end"]) if "start" in hole else 0.0
    wide = show_length(hole["diameter"])
    return f"slot {wide} wide, {show_length(way + hole['diameter'])} long" if way else f"dia. {wide}"


def _one_fastener(fastener: Mapping[str, Any]) -> Iterator[str]:
    screw = f", screws {fastener['screw']}" if fastener["screw"] else ""
    yield f"  {fastener['id']:<4} {fastener['kind']}{screw}"
    for name, (low, high) in fastener["worst"].items():
        worst = f"[{show_mm(low)} to {show_mm(high)} mm]"
        yield f"       {number_words(name):<28} {show_length(fastener[name]):<20} {worst}"


def _sections_and_slabs(handle: Mapping[str, Any]) -> Iterator[str]:
    for section in handle["sections"]:
        sizes = (f"{name} {show_length(section[name])}" for name in ("height", "width", "girth"))
        yield f"  x {show_mm(section['x']):>7}  {', '.join(sizes)}: {section['what']}"
    for bought in handle["buy"]:
        room = f"{room_to_buy(bought['length'])} by {room_to_buy(bought['width'])}"
        thick = show_length(bought["thickness"])
        yield f"  buy {bought['pieces']} {bought['part']} of {bought['material']}, {room}, {thick} thick"


def zone_words(zone: Mapping[str, Any]) -> str:
    """A zone with its size, its depth and what it takes off."""
    where = f"{zone['kind']}, {'both sides' if zone['side'] == 'both' else zone['side'] + ' side'}:"
    if zone["kind"] == "mark":
        size = f"{show_length(zone['width'])} by {show_length(zone['height'])}"
        told = f"{where} {zone['text']}, {size} at x {show_mm(zone['x'])}  y {show_mm(zone['y'])}"
        return told + (_made_words(zone) if "made" in zone else "")
    deepest = "" if zone["deepest"] is None else f" ({show_length(zone['deepest'])} is the most)"
    depth = f"{show_length(zone['depth'])} deep{deepest}"
    return f"{where} {zone['area']:.0f} mm2 of a face, {depth}, {show_mass(zone['mass'])} out"


STEP_WORDS = {
    "plate": "cutting out",
    "blank": "holes",
    "rough": "rough grinding",
    "finished": "finish grinding",
    "sharp": "sharpening",
}
"""What leads to each state of the steel."""

CAUTION = (
    "Check before cutting: the numbers are starting points; the steel maker's and the shop's limits and local rules "
    "override them."
)


def _made_words(zone: Mapping[str, Any]) -> str:
    """How a mark is made, and how fine it is."""
    deep = f", {show_fine(zone['depth'])} deep" if zone["depth"] else ""
    gap = "" if zone["gap"] is None else f", gaps of {show_fine(zone['gap'])} and more"
    return f"; {zone['made']}{deep}, lines of {show_fine(zone['line'])} and more{gap}"
