"""Steps on the handle: scales drilled and tried dry, glued and clamped, contoured, hardware that comes last."""

from __future__ import annotations

from collections.abc import Iterator
from typing import get_args

from bladegeom.drilling.cautions import handle_cautions
from bladegeom.drilling.match import tang_words
from bladegeom.drilling.row import CardRow
from bladegeom.fasteners.stack import lines_to_buy, stacks
from bladegeom.fasteners.stack_parts import When
from bladegeom.handle.scale_blank import blanks
from bladegeom.handle.section import handle_sections, places_told
from bladegeom.knife.knife import Knife
from bladegeom.knife.scales import Scales
from bladegeom.quantities.materials import SWELLS
from bladegeom.quantities.shown import rule_length
from bladegeom.workshop.operation import PRACTICE, Number, Operation, own_blank
from bladegeom.workshop.work import Glue, Work

REST_HOURS = 72.0
"""For what swells and shrinks with the air, h. Source: common practice, no source."""


def handle_steps(knife: Knife, rows: tuple[CardRow, ...], work: Work) -> Iterator[Operation]:
    """All steps on scales and hardware, from the rows of the drill card after hardening."""
    scales = knife.scales
    if scales is None:
        return
    fit, glued, contoured, last = (tuple(row for row in rows if row.when == when) for when in get_args(When))
    yield _fit(knife, scales, fit, work.glue)
    yield _glue(knife, glued, work.glue)
    yield _contour(knife, scales, contoured)
    if last:
        yield _finished(last)


def _fit(knife: Knife, scales: Scales, rows: tuple[CardRow, ...], glue: Glue) -> Operation:
    pieces = blanks(knife)
    return Operation(
        key="dry_fit",
        title="Scales: drill and fit dry",
        tasks=(
            *(f"{piece.words}." for piece in pieces),
            *lines_to_buy(stacks(knife)),
            "Tape the edge: the blade stays taped until it is sharpened.",
            f"Saw the scales out {rule_length(scales.overhang)} outside the tang; shape and finish their fronts "
            "now: after gluing nobody gets at them.",
            *_liners_first(scales, glue),
            f"Drill and fit by the drill card, the {tang_words(knife)} as the jig.",
        ),
        numbers=(
            Number(what="slabs, brought to", value=scales.slab_thickness),
            Number(what="overhang round the tang", value=scales.overhang),
        ),
        rests=(
            Number(
                what="wood, horn, bone and fibre in the workshop's air before drilling",
                unit="h",
                value=REST_HOURS,
                source=f"{PRACTICE}; sheet laminates need none",
            ),
        )
        if any(material.kind in SWELLS for material in (scales.material, *(liner.material for liner in scales.liners)))
        else (),
        rows=rows,
        blanks=(
            *_tang_blanks(knife),
            own_blank("slab, right, as measured", "mm"),
            own_blank("slab, left, as measured", "mm"),
            own_blank("no light between tang and scales", "yes/no"),
            own_blank("fronts of both scales alike and finished", "yes/no"),
        ),
        cautions=handle_cautions(knife),
        need="the design has scales",
    )


def _liners_first(scales: Scales, glue: Glue) -> Iterator[str]:
    """Liners that stay on the scales are on them before anything is drilled."""
    if scales.glued_liners:
        yield f"Glue the liners to the slabs by the drill card; {glue.cure_hours:g} h before they are drilled."


def _tang_blanks(knife: Knife) -> Iterator[Number]:
    """The tang's thickness beside each fastener whose depths or lengths hang on it."""
    tolerances = knife.shop.tolerances
    for stack in stacks(knife):
        if stack.if_tang_thinner:
            tang = 2 * stack.layers.tang
            yield Number(
                what=f"tang at {stack.layers.name}, before any depth is set",
                value=tang.nominal,
                low=tang.low,
                high=tang.high,
                source=tolerances.source("tang"),
                note="micrometer; what to do outside the limits stands on the drill card",
            )


def _glue(knife: Knife, rows: tuple[CardRow, ...], glue: Glue) -> Operation:
    into = "" if all(stack.gluing for stack in stacks(knife)) else "; into the holes too"
    return Operation(
        key="handle",
        title="Glue and clamp the handle",
        tasks=(
            "Degrease tang, scales, liners and hardware; roughen the glue faces; touch no more.",
            f"Glue: {glue.name}, by weight as its data sheet says{into}.",
            "Light clamps: a joint pressed dry is starved. Wipe the front before it sets.",
            *dict.fromkeys(stack.gluing for stack in stacks(knife) if stack.gluing),
        ),
        within=(Number(what="spread, closed and clamped", unit="min", value=glue.open_minutes, source=glue.source),),
        waits=(
            Number(what="in the clamps", unit="h", value=glue.clamp_hours, source=glue.source),
            Number(what="until it is shaped", unit="h", value=glue.cure_hours, source=glue.source),
        ),
        rows=rows,
        blanks=(
            own_blank("glue, lot and date"),
            own_blank("room, temperature", "C"),
            own_blank("clamped at, clock"),
            own_blank("clamps off at, clock"),
            own_blank("front wiped clean", "yes/no"),
        ),
        cautions=("Nitrile gloves, fresh air; large mixes boil. The edge stays taped.",),
        need="the design has scales",
    )


def _contour(knife: Knife, scales: Scales, rows: tuple[CardRow, ...]) -> Operation:
    stray, source = knife.shop.tolerances.contour, knife.shop.tolerances.source("contour")
    sections = handle_sections(knife)
    told = [sections[i] for i in places_told(len(sections))]
    named = [(f"width at x {rule_length(section.x).first}", section.width) for section in told]
    return Operation(
        key="contour",
        title="Contour the handle",
        tasks=(
            f"Grind the overhang of {rule_length(scales.overhang)} flush with the tang, then shape to the gauges of "
            "the handle pages; both sides alike.",
            "No deeper over a head or a bolt than the drill card counts on.",
        ),
        numbers=tuple(Number(what=what, value=width) for what, width in named),
        rows=rows,
        blanks=tuple(
            Number(what=what, value=width, low=width - 2 * stray, high=width + 2 * stray, source=source)
            for what, width in named
        ),
        cautions=(
            *handle_cautions(knife),
            "The edge stays taped. Cool: heat lets go of the glue and burns wood round a pin.",
        ),
        need="slabs are no handle",
    )


def _finished(rows: tuple[CardRow, ...]) -> Operation:
    """What hardware of any kind is left for the finished scales; peened pins, above all."""
    return Operation(
        key="peen",
        title="Hardware: set on the finished scales",
        tasks=(f"By the drill card, on the finished outside ({PRACTICE}).",),
        rows=rows,
        blanks=(own_blank("every head full and tight, scales closed", "yes/no"),),
        cautions=("Eyes covered; light blows, a scale cracks at once.",),
        need="the design has hardware that is set on the finished scales",
        after=("contour",),
        before=("sharpen",),
    )
