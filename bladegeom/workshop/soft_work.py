"""Steps while the steel is soft: template, cutting out, drilling, grinding before hardening."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bladegeom.drilling.cautions import blade_cautions
from bladegeom.drilling.row import CardRow
from bladegeom.grinding.grind_sheet import GrindSheet
from bladegeom.grinding.grind_words import scribe_words, side_words, tang_range, taper_words
from bladegeom.grinding.station import Station
from bladegeom.holes.cut_holes import cut_holes
from bladegeom.knife.grind import Stage
from bladegeom.knife.knife import Knife
from bladegeom.mass.unweighed import unweighed, without_words
from bladegeom.quantities.shown import scribed_length
from bladegeom.quantities.units import show_length, show_mm
from bladegeom.workshop.operation import PRACTICE, Number, Operation, own_blank
from bladegeom.workshop.pitches import pitches
from bladegeom.workshop.saw import saw_for

EVEN = 0.05
"""Edge thickness may differ so much from the drawing before the quench, mm. Source: common practice, no source."""

RULER = (99.5, 100.5)
"""A printed bar of 100 mm must read between these, mm. Source: common practice, no source."""

PASTE_MINUTES = 30.0
"""Until paper glued on steel can be worked on, min. Source: common practice, no source."""

GRINDER = "Eyes, ears and lungs covered; no gloves, loose sleeves, rings or long hair; guards on."
_SPARKS = "Sparks and wood, aluminium or titanium dust burn: separate extraction, emptied daily."


def template_step(knife: Knife) -> Operation:
    """The template, checked with a ruler before it is glued on."""
    return Operation(
        key="template",
        title="Template",
        tasks=(
            "Print at 100 % (actual size), never fit to page; a ruler on both bars of the sheet.",
            "Glue it on, and measure the length again when it is dry: wet paper swells.",
        ),
        numbers=(overall_length(knife),),
        blanks=(
            Number(what="bar of 100 mm, across", low=RULER[0], high=RULER[1], source=PRACTICE),
            Number(what="bar of 100 mm, along", low=RULER[0], high=RULER[1], source=PRACTICE),
            own_blank("length of the template, glued on", "mm"),
        ),
    )


def cut_step(knife: Knife) -> Operation:
    """The outline, by the shop from the cut file or with the saw."""
    saw = saw_for(knife.stock.thickness)
    return Operation(
        key="cut",
        title="Cut out",
        tasks=(
            "By the shop: from the cut file, nominal size without kerf. Measure the first piece before the rest.",
            f"By hand: saw outside the line with {saw.words}; grind to the line. {_USUAL}{_drilled_instead(knife)}",
        ),
        numbers=(
            overall_length(knife),
            Number(what="stock, thickness", value=knife.stock.thickness),
            Number(
                what="teeth that bite",
                unit="count",
                value=saw.teeth_told,
                low=3.0,
                source=PRACTICE,
                note=f"with {saw.teeth_per_inch:g} teeth per inch, sawn square",
            ),
        ),
        blanks=(
            own_blank(f"{knife.stock.metal_word} as marked on the bar"),
            own_blank("stock, thickness as measured", "mm"),
            own_blank("length of the blank", "mm"),
        ),
        cautions=(
            "A cut blank has razor burrs: gloves to carry it, none at a machine.",
            "Bar clamped, eyes covered.",
            *blade_cautions(knife),
        ),
        need="the outline must come out of the bar",
    )


_USUAL = f"({PRACTICE})"


def drill_step(knife: Knife, rows: tuple[CardRow, ...]) -> Operation:
    """All holes of the steel, by the drill card."""
    count, metal = len(knife.openings), knife.stock.metal_word
    return Operation(
        key="drill",
        title=f"Drill the {metal}",
        tasks=(
            "Step by step from the drill card, every place from the straightedge and the square.",
            "Clamped or pinned against a stop on the left of the table, backing board under it, slow, with oil.",
            f"Count the holes: {count}.{_NONE_LATER[knife.stock.hardens]}",
        ),
        numbers=(Number(what=f"openings in the {metal}", unit="count", value=count),),
        rests=(
            Number(
                what="template's glue set, where it is drilled through the template",
                unit="min",
                value=PASTE_MINUTES,
                source=f"{PRACTICE}; the adhesive's own data sheet comes first",
            ),
        ),
        rows=rows,
        blanks=(
            Number(what="openings counted", unit="count", value=count, low=count, high=count),
            *pitches(knife, drilled_when(knife)),
        ),
        cautions=(
            "A blank that catches is a propeller: clamp it. No gloves; chips off with a brush.",
            *blade_cautions(knife),
        ),
        need=f"the design has {count} opening{'s' if count != 1 else ''} in the {metal}",
    )


def _drilled_instead(knife: Knife) -> str:
    """What a saw does not do: the drill card only looks over what a shop has cut."""
    cut = any(hole.finish == "cut" for hole in cut_holes(knife))
    return " Holes marked cut are drilled then; with made='drilled' each has its row." if cut else ""


_NONE_LATER = {True: " After hardening none can be drilled.", False: ""}


def drilled_when(knife: Knife) -> str:
    """When its holes are as the drill has left them."""
    return "before hardening" if knife.stock.hardens else "as drilled"


def rough_step(sheet: GrindSheet, rough: float) -> Operation:
    """Grinding before hardening, or before the finish grind of a metal that is not hardened."""
    later = "quench" if sheet.knife.stock.hardens else "finish grind"
    between = scribe_words(*sheet.scribe_offsets("finished"))
    return Operation(
        key="rough_grind",
        title="Rough grind",
        tasks=(
            f"{scribe_task(sheet, 'rough')}; between the lines stays {show_length(sheet.scribed_edge('rough'))}. "
            f"The finish grind's lines now too, {between}.",
            *taper_tasks(sheet.knife),
            *_jig(sheet, sheet.rough_stations[0]),
            "Last scratches along the blade, 120 to 220 grit; corners and spine broken.",
        ),
        numbers=(
            Number(what=f"edge left for the {later}", value=rough),
            _angle(sheet, sheet.rough_stations[0]),
            *_lines(sheet.rough_stations, "rough grind line"),
        ),
        blanks=tuple(edges(sheet, "rough")),
        cautions=(GRINDER, _SPARKS, *blade_cautions(sheet.knife)),
        need=f"the design leaves a rough edge for the {later}",
    )


def scribe_task(sheet: GrindSheet, stage: Stage) -> str:
    """To scribe the edge, a sentence without its stop: from faces that a taper has not yet moved."""
    stock = sheet.knife.stock
    full = f" while the bar has its full {show_length(stock.thickness)}" if stock.taper else ""
    return f"Scribe the edge{full}: {scribe_words(*sheet.scribe_offsets(stage))}"


def taper_tasks(knife: Knife) -> Iterator[str]:
    """To grind the stock's taper, if it has one."""
    if knife.stock.taper:
        yield f"Then grind the stock, before any bevel, {taper_words(knife.stock.taper, tang_range(knife))}."
        if knife.openings and tang_range(knife)[0] < knife.stock.thickness:
            yield "Break the rims of the holes again where that has made them sharp."


def grind_numbers(sheet: GrindSheet) -> tuple[Number, ...]:
    """Angle, edge, and grind line at each station for the finish; before that, the edge that each face leaves."""
    return (
        *(
            Number(what=f"edge, {earlier_stage.words}", value=earlier_stage.sheet.knife.grind.edge_thickness)
            for earlier_stage in sheet.earlier
        ),
        Number(what="edge before sharpening", value=sheet.knife.grind.edge_thickness),
        _angle(sheet, sheet.first),
        *_lines(sheet.stations, "grind line"),
    )


def face_tasks(sheet: GrindSheet) -> Iterator[str]:
    """Which face comes after which, where a blade has several."""
    shown = {id(lower_face.face): lower_face for lower_face in sheet.showing}
    for earlier_stage, face in zip(sheet.earlier, sheet.in_order[1:], strict=True):
        yield (
            f"Edge {show_length(earlier_stage.sheet.knife.grind.edge_thickness)}: {earlier_stage.words}; measure it "
            "all along."
        )
        lower = shown.get(id(face))
        up = "to the grind line"
        if lower is not None:
            up = f"to {show_length(lower.height)} from the edge at x {show_mm(sheet.stations[lower.station - 1].x)}"
        yield f"Then the {face.kind}, up {up}, until {show_length(face.edge_thickness)} stays at the edge."


def _lines(stations: Sequence[Station], what: str) -> Iterator[Number]:
    for station in stations:
        if station.grind_line is not None:
            yield Number(what=f"{what} at x {show_mm(station.x)}", value=station.grind_line, note="square to the edge")


def edges(sheet: GrindSheet, stage: Stage) -> Iterator[Number]:
    """Blanks for the edge's thickness at the stations of the grind sheet, face after face where there are several."""
    if stage != "rough":
        for earlier_stage in sheet.earlier:
            yield from _edges(earlier_stage.sheet, stage, earlier_stage.words)
    rough = "before hardening" if sheet.knife.stock.hardens else "rough ground"
    yield from _edges(sheet, stage, rough if stage == "rough" else "before sharpening")


def _edges(sheet: GrindSheet, stage: Stage, when: str) -> Iterator[Number]:
    thick = sheet.thickness(stage)[:, 0].tolist()
    for station, value in zip(sheet.stations, thick, strict=True):
        yield Number(
            what=f"edge at x {show_mm(station.x)}, {when}",
            value=value,
            low=max(value - EVEN, 0.0),
            high=value + EVEN,
            source=PRACTICE,
            note="calipers, both sides alike" if sheet.knife.grind.only is None else "calipers",
        )


def overall_length(knife: Knife) -> Number:
    """Of the steel from butt to tip."""
    x0, _, x1, _ = knife.outline.bounds
    left_out = without_words(unweighed(knife)).removeprefix(", ")
    return Number(what="overall length", value=x1 - x0, measure="overall length", note=left_out)


def _jig(sheet: GrindSheet, first: Station) -> Iterator[str]:
    flat = sheet.is_flat(sheet.knife.grind.faces[first.face])
    at = "" if first.grind_line is None else f", {scribed_length(first.grind_line)} from the edge at the first station"
    how = "the jig's angle is only a start" if flat else "grind to the line"
    yield f"Scribe the grind line as it is ground now{at}; {how}."
    if first.tilted is not None:
        most, least = first.tilted
        ends = f"{scribed_length(least)} or {'up to the spine' if most is None else scribed_length(most)}"
        yield f"Half a degree off{'' if flat else ' in the chord'} moves this grind line to {ends} there."


def _angle(sheet: GrindSheet, first: Station) -> Number:
    side, flat = side_words(sheet.knife.grind.only), sheet.is_flat(sheet.knife.grind.faces[first.face])
    note = f"{'' if flat else 'of the chord from edge to grind line, '}at the first station"
    return Number(what=f"bevel angle, {side}", unit="deg", value=first.angle_deg, note=note)
