"""Steps on the hard blade besides the handle: finish grind, surface, mark, etch, sharpening."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from bladegeom.drilling.cautions import blade_cautions, is_titanium
from bladegeom.drilling.row import CardRow
from bladegeom.grinding.grind_sheet import GrindSheet
from bladegeom.grinding.grind_words import side_words
from bladegeom.grinding.zones import placed_zones
from bladegeom.knife.knife import Knife
from bladegeom.knife.zone import MarkZone, TextureZone
from bladegeom.outline.halves import has_hidden_tang
from bladegeom.quantities.mark_ways import MarkWayName
from bladegeom.quantities.shown import caliper_length, from_to, rule_length, scribed_length
from bladegeom.quantities.units import show_angle, show_fine, show_length
from bladegeom.workshop.heat_treat import SKIN
from bladegeom.workshop.operation import PRACTICE, Number, Operation, own_blank
from bladegeom.workshop.soft_work import GRINDER, edges, face_tasks, grind_numbers, scribe_task, taper_tasks
from bladegeom.workshop.work import Work


def finish_step(sheet: GrindSheet, rows: tuple[CardRow, ...], *, hardened: bool) -> Operation:
    """Grinding to size, and the hardware tried in the hard tang."""
    grind = sheet.knife.grind
    scribe = f"{scribe_task(sheet, 'finished')}."
    return Operation(
        key="finish_grind",
        title="Finish grind",
        tasks=(
            *(_on_hard(sheet.knife) if hardened else ()),
            *((scribe, *taper_tasks(sheet.knife)) if grind.rough_edge is None else ()),
            *face_tasks(sheet),
            "Grind line and plunge alike on both sides."
            if grind.only is None
            else f"The {grind.only} side alone; the other stays flat.",
        ),
        numbers=grind_numbers(sheet),
        rows=rows,
        blanks=tuple(edges(sheet, "finished")),
        cautions=(
            GRINDER,
            "Edge trailing once it is thin, never fed into the belt; "
            f"{'a magnet' if hardened else 'a push stick'} for the last 10 mm.",
            *blade_cautions(sheet.knife),
        ),
        need="the design has bevels",
    )


def _on_hard(knife: Knife) -> Iterator[str]:
    skin = from_to(*map(caliper_length, SKIN))
    yield (
        f"Scale and decarburised skin off first, {skin} a side ({PRACTICE}): the edge's hardness shows only then, and "
        f"the design counts on {show_length(knife.stock.thickness)} that are left."
    )
    yield "Cool after every pass: bare hands, stop when it is too hot to hold; a blued edge has lost its temper."


def surface_step(knife: Knife, work: Work) -> Operation:
    """The blade's surface, and textures."""
    textures = [
        placed_zone
        for placed_zone in placed_zones(knife)
        if isinstance(placed_zone.zone, TextureZone) and not placed_zone.region.is_empty
    ]
    finish = work.finish
    return Operation(
        key="surface",
        title="Surface of the blade",
        tasks=(
            f"Finish: {finish}." if finish else "Finish as agreed with the customer, lengthwise, from coarse to fine.",
            *(("The tang under the scales stays flat, and rough for the glue.",) if knife.scales else ()),
            *(
                f"Carve the texture from x {scribed_length(texture.region.bounds[0])} to "
                f"{scribed_length(texture.region.bounds[2])}, grooves to {show_length(zone.depth)} deep."
                for texture in textures
                if isinstance(zone := texture.zone, TextureZone)
            ),
        ),
        blanks=(
            own_blank("finish as made"),
            *(
                Number(
                    what="deepest groove", value=zone.depth, high=texture.deepest, note="leaves the stated thickness"
                )
                for texture in textures
                if isinstance(zone := texture.zone, TextureZone)
            ),
        ),
        cautions=(
            "At the buffer: lower quarter, never edge or tip towards the wheel, stand aside.",
            *blade_cautions(knife),
        ),
        need="the design has a texture" if textures else "",
    )


_ETCHING: Final = "Acid: into water, never the other way; goggles, gloves, fresh air; away from chlorine cleaner."
_FLUORIDES: Final = "What etches titanium holds fluorides, which burn to the bone: trained and licensed shops only."


def mark_step(marks: tuple[MarkZone, ...], work: Work, *, soft: bool = False) -> Operation:
    """The marks, letter by letter; ``soft`` where they are struck and hardening is still to come."""
    return Operation(
        key="mark",
        title="Mark",
        tasks=tuple(
            f"{(work.mark or made_words(mark)).capitalize() or 'Mark'}: {mark.text!r} on the {mark.side} face, middle "
            f"at x {scribed_length(mark.x)}, y {scribed_length(mark.y)}, within {rule_length(mark.width)} by "
            f"{rule_length(mark.height)}{_deep(mark)}.{_from_file(mark)}"
            for mark in marks
        ),
        blanks=tuple(own_blank(f"read back letter by letter: {mark.text!r}", "yes/no") for mark in marks),
        cautions=tuple(_marking(work.mark or "; ".join(filter(None, map(made_words, marks))))),
        before=("heat_treat",) if soft else (),
        need="the design has a field for " + " and ".join(repr(mark.text) for mark in marks),
    )


def made_words(mark: MarkZone) -> str:
    """How a mark is made, as a maker says it; empty where its field does not tell."""
    return _MADE[mark.made] if mark.made else ""


_MADE: Final[dict[MarkWayName, str]] = {
    "stencil": "etched through a stencil",
    "electro-etch": "electro-etched",
    "laser": "laser-marked",
}


def _deep(mark: MarkZone) -> str:
    return f", {show_fine(mark.depth)} deep" if mark.depth else ""


def _from_file(mark: MarkZone) -> str:
    """Which of its files serves."""
    if mark.made is None:
        return ""
    if mark.made == "laser":
        return " The beam follows the true file; its page is the field."
    return " The film comes from the true file, or from the mirrored one where it is cut or printed from behind."


_STRUCK: Final = r"stamp|punch|struck"

_MARKING: Final = (
    (r"acid|(?<!electro)(?<!electro-)etch", _ETCHING),
    (r"electro", "Electro-etch: low voltage, fresh air (chlorine, chromium compounds), gloves; rinse it well."),
    (r"laser", "Laser: in its closed housing, or goggles for its wavelength; fumes extracted."),
    (_STRUCK, "Stamp: in soft metal only, away from edge and plunge; eyes covered."),
    (r"grav", "Graver: work clamped, eyes covered, the other hand behind the point, never before it."),
)
"""Words that name a way of marking, and what to mind. Source: common practice, no source."""


def _marking(how: str) -> Iterator[str]:
    """What to mind at the mark: for the way that is named, or for all of them where none is."""
    named = [told for words, told in _MARKING if re.search(words, how.lower())]
    yield from named or (told for _, told in _MARKING)


def is_struck(how: str) -> bool:
    """Whether a way of marking is told that needs soft steel, and no other."""
    return [words for words, _ in _MARKING if re.search(words, how.lower())] == [_STRUCK]


def marked_apart(work: Work, marks: tuple[MarkZone, ...]) -> Iterator[tuple[MarkZone, str]]:
    """Marks that the work makes in another way than their fields tell, each with its own way."""
    said = _named(work.mark)
    for mark in marks:
        told = made_words(mark)
        if said and told and not said & _named(told):
            yield mark, told


def _named(how: str) -> set[str]:
    return {words for words, _ in _MARKING if re.search(words, how.lower())}


def marks_of(knife: Knife) -> tuple[MarkZone, ...]:
    """The fields for marks."""
    return tuple(zone for zone in knife.zones if isinstance(zone, MarkZone))


def etch_step(knife: Knife, etch: str) -> Operation:
    """Etching or darkening, where it is asked for."""
    return Operation(
        key="etch",
        title="Etch",
        tasks=(
            *((f"Etch: {etch}.",) if etch else ()),
            "Degrease and touch no more; try it on an offcut of the same bar in the same temper.",
            "Neutralise, rinse, dry, oil.",
        ),
        blanks=(own_blank("time in the etchant", "min"), own_blank("even on both faces", "yes/no")),
        cautions=(
            _ETCHING,
            *((_FLUORIDES,) if is_titanium(knife.stock.material) else ()),
        ),
        need="the order asks for it",
    )


def sharpen_step(sheet: GrindSheet) -> Operation:
    """The edge, last of all."""
    height, width = sheet.facet
    angle = sheet.knife.grind.sharpen_deg
    return Operation(
        key="sharpen",
        title="Sharpen",
        tasks=tuple(_sharpening(sheet.knife)),
        numbers=(
            Number(
                what=f"edge angle, {side_words(sheet.knife.grind.only)}",
                unit="deg",
                value=angle,
            ),
            Number(what="facet, width on the face", value=width, note=f"rises {show_length(height)} from the apex"),
        ),
        blanks=(
            own_blank("facets alike at heel, middle and tip", "yes/no"),
            own_blank("cuts paper along its whole length", "yes/no"),
        ),
        cautions=(
            "From here on it is sharp: edge away from the body, covered when it lies.",
            *blade_cautions(sheet.knife),
        ),
        need="an unsharpened knife is none",
    )


def _sharpening(knife: Knife) -> Iterator[str]:
    if has_hidden_tang(knife.outline.profiles):
        yield "Not before guard and handle block are fitted and glued, the edge taped: no step here does that."
    if knife.scales is not None:
        yield "Tape off the edge, not off the handle."
    yield f"To {show_angle(knife.grind.sharpen_deg)} degrees to the middle plane; burr off; strop ({PRACTICE})."
