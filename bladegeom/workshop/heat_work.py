"""Steps in the heat: hardening, tempering, straightening."""

from __future__ import annotations

from collections.abc import Iterator

from bladegeom.order.measures import measure
from bladegeom.order.ordered import HARDNESS
from bladegeom.quantities.shown import caliper_length, from_to, oven_temperature, room_to_buy, rule_length
from bladegeom.quantities.temper_table import often
from bladegeom.quantities.temperature import both_scales, show_difference
from bladegeom.workshop.heat_treat import (
    BELOW_FLASH,
    DEFER,
    FOLD,
    KILN_ROOM,
    LITRES_PER_KG,
    PLATE_ROOM,
    SKIN,
    TANK_ROOM,
    HeatTreatCard,
)
from bladegeom.workshop.operation import PRACTICE, Number, Operation, own_blank
from bladegeom.workshop.quench import HAND_WARM_C

_NEED = "soft steel holds no edge"

WARP = 0.25
"""Greatest bow over the blade that is let pass, mm. Source: common practice, no source."""

_CAUTIONS = (
    "Face shield, leather, tongs; ventilation against carbon monoxide.",
    "As-quenched steel is as brittle as glass: do not drop it or bend it cold.",
)
_OIL = (
    "Metal tank with a lid, away from the kiln; dry blades and tongs. Extinguisher at hand, no water on burning oil.",
)
_FOIL = ("The edges of the foil cut like razors.",)
_COLD = ("Dry ice and liquid nitrogen: vent the room, insulated gloves, never a closed vessel.",)


def heat_steps(card: HeatTreatCard | None, steel: str) -> Iterator[Operation]:
    """Hardening, tempering and straightening, from the card; without one, with blanks alone."""
    yield Operation(
        key="heat_treat",
        title=f"Harden, {steel}",
        tasks=tuple(_tasks(card)),
        numbers=() if card is None else tuple(_numbers(card)),
        blanks=tuple(_blanks(card)),
        cautions=tuple(_cautions(card)),
        need=_NEED,
    )
    yield _temper(card)
    yield Operation(
        key="straighten",
        title="Check straightness; straighten",
        tasks=(
            "Sight along edge and spine, and lay the blade on a flat plate.",
            "Straighten what is bowed clamped over three rods in the temper, or by light taps; never cold before it is "
            "tempered.",
            "Look for cracks: ring, dye, or oil that seeps out.",
        ),
        blanks=(
            Number(what="bow over the blade", high=WARP, source=PRACTICE),
            own_blank("cracks looked for, none", "yes/no"),
        ),
        cautions=("A blade under load can break: eyes covered, stand aside.",),
    )


def _tasks(card: HeatTreatCard | None) -> Iterator[str]:
    yield "Before it goes in: all holes drilled and counted, no burr, scratches lengthwise, free of oil and glue."
    if card is None:
        yield (
            "No recipe stands in the table for this steel: copy it here from the steel maker's data sheet, or have "
            "the design given it and print this page anew."
        )
        return
    steel = card.treatment
    if steel.sheath:
        length, width = (room_to_buy(mm) for mm in card.foil)
        yield (
            f"Fold the foil, {length} by {width}, round the blade along the spine; fold the three open sides twice, "
            f"{rule_length(FOLD)} each; press out the air."
        )
    else:
        left = from_to(*map(caliper_length, SKIN))
        off = " (off again before the oil)" if card.in_oil else ""
        yield f"Against scale and decarburisation: foil{off}, a coating, or {left} a side left to grind off."
    for celsius in steel.preheat_c:
        yield f"Preheat to {oven_temperature(celsius)} and let the heat go through."
    soak, quench = (both_scales(words) or "see the data sheet" for words in (steel.soak, steel.quench))
    yield f"Heat to {oven_temperature(steel.austenitize_c)}; soak: {soak}."
    yield f"Quench: {quench}."
    yield from _quench_tasks(card)
    if steel.cold:
        yield f"Cold treatment: {both_scales(steel.cold)}."
    yield "Temper at once, as soon as it can be held in the hand."
    if steel.note:
        yield f"The sheets: {both_scales(steel.note)}."
    yield DEFER


def _quench_tasks(card: HeatTreatCard) -> Iterator[str]:
    steel = card.treatment
    if steel.plates:
        foil = ", foil and all" if steel.sheath else ""
        yield f"Between plates: clamp hard at once{foil}; leave it until it is hand-warm."
    if steel.oil and steel.sheath:
        quick = "out of the kiln cut it open and get the bare blade into the oil at once"
        instead = "In oil instead: not in its foil" if steel.plates else "Not in its foil, which keeps the oil off"
        yield f"{instead}; {quick}{'' if steel.plates else ', or quench between plates, foil and all'}."


def _numbers(card: HeatTreatCard) -> Iterator[Number]:
    steel = card.treatment
    low, high = steel.austenitize_range_c
    source = f"{steel.source}; confidence {steel.confidence}"
    yield Number(what="hardening temperature", unit="C", value=steel.austenitize_c, low=low, high=high, source=source)
    if steel.as_quenched is not None:
        hard = steel.as_quenched
        own = hard.source or source
        yield Number(what="as quenched", unit="HRC", value=hard.hrc, low=hard.low, high=hard.high, source=own)
    yield Number(what="mass of the steel as hardened", unit="g", value=1000 * card.mass_kg)
    if steel.sheath:
        yield Number(what="foil, length", value=card.foil[0], room=True, source=PRACTICE)
        yield Number(what="foil, width", value=card.foil[1], room=True, source=PRACTICE)
    yield Number(
        what="kiln, least length inside",
        value=card.kiln_length,
        room=True,
        source=f"{PRACTICE}: {rule_length(KILN_ROOM)} free at each end",
    )
    if steel.plates:
        yield from _plates(card)
    if card.in_oil:
        yield from _oil(card)


def _oil(card: HeatTreatCard) -> Iterator[Number]:
    low, high = card.oil_bath_c
    yield Number(
        what="oil, working temperature",
        unit="C",
        low=low,
        high=high,
        source=card.oil_bath_source,
        note=f"always {show_difference(BELOW_FLASH)} or more below its flash point (29 CFR 1910.126)",
    )
    yield Number(
        what="quench vessel, least depth inside",
        value=card.tank_depth,
        room=True,
        source=f"{PRACTICE}: {rule_length(TANK_ROOM)} of oil above and below the blade, and as much free on top",
    )
    yield Number(what="oil, depth", value=card.oil_depth, room=True, source=PRACTICE)
    yield Number(
        what="oil, least for each blade",
        unit="L",
        value=card.oil_litres,
        source=f"{PRACTICE}: about {LITRES_PER_KG:g} L for each kg of steel; the depth may ask for more",
    )


def _plates(card: HeatTreatCard) -> Iterator[Number]:
    plates, quench = card.plates, card.plate_quench
    least = not card.work.plates
    beyond = f"{PRACTICE}: {rule_length(PLATE_ROOM)} all round" if least else ""
    yield Number(what="plates, length", value=plates.length, room=least, source=beyond)
    yield Number(what="plates, width", value=plates.width, room=least, source=beyond)
    thick = plates.thickness
    yield Number(what="plates, thickness of each", value=thick, room=least, source=PRACTICE if least else "")
    if quench is None or not quench.ends:
        return
    short, long = quench.seconds_range
    flats = f"at the flats: the bevels touch no plate, {caliper_length(card.gap)} of air at the edge"
    yield Number(
        what=f"time to {oven_temperature(HAND_WARM_C)}",
        unit="s",
        low=short,
        high=long,
        source="an estimate: how well the plates touch decides",
        note=flats if card.gap else "",
    )


def _blanks(card: HeatTreatCard | None) -> Iterator[Number]:
    if card is None:
        yield own_blank("recipe from data sheet, name and date")
        yield own_blank("hardening temperature by the data sheet", "C")
        yield own_blank("soak by the data sheet", "min")
        yield own_blank("quench by the data sheet")
    yield own_blank("one alloy in the batch, marked on the tang", "yes/no")
    yield own_blank("kiln, as read", "C")
    yield own_blank("soak, as timed", "min")
    yield own_blank("quenched in, and its temperature")
    if card is not None and card.treatment.cold:
        yield own_blank("cold treatment, lowest temperature", "C")
    if card is not None and card.treatment.as_quenched is not None:
        hard = card.treatment.as_quenched
        own = hard.source or card.treatment.source
        yield Number(what="hardness as quenched", unit="HRC", low=hard.low, high=hard.high, source=own)
    else:
        yield own_blank("hardness as quenched", "HRC")


def _cautions(card: HeatTreatCard | None) -> Iterator[str]:
    yield from _CAUTIONS
    if card is None:
        return
    for applies, told in ((card.treatment.oil, _OIL), (card.treatment.sheath, _FOIL), (card.treatment.cold, _COLD)):
        if applies:
            yield from told


def _temper(card: HeatTreatCard | None) -> Operation:
    tasks = ["At once, in an oven that a second thermometer has been held against."]
    each = "" if card is not None and card.treatment.temper_count == 1 else ", each temper"
    numbers: tuple[Number, ...] = ()
    chosen = () if card is not None and card.temper is not None else (own_blank("temper at, as chosen", "C"),)
    blanks = [*chosen, own_blank("oven, as read", "C"), own_blank("time at temperature, each", "min")]
    wanted = None if card is None else card.work.hardness
    if card is not None:
        count = card.treatment.temper_count
        more, between = (" each", " between") if count > 1 else ("", "")
        tasks.append(f"Temper {often(count)}, 2 hours{more} ({PRACTICE}); cool to room{between}.")
        tasks.extend(_temper_words(card))
        tasks.append(DEFER)
        numbers = (*_aim(card), *card.temper_table)
    low, high = wanted or (None, None)
    how = measure(HARDNESS).how
    blanks.append(Number(what="hardness", unit="HRC", low=low, high=high, note=how, measure=HARDNESS))
    return Operation(
        key="temper",
        title="Temper",
        tasks=tuple(tasks),
        numbers=numbers,
        waits=(
            Number(
                what=f"at temperature{each}",
                unit="h",
                value=2.0,
                source=f"{PRACTICE}; the data sheet comes first",
            ),
        ),
        blanks=tuple(blanks),
        cautions=("Label hot blades.",),
        need="as-quenched steel breaks like glass",
    )


def _temper_words(card: HeatTreatCard) -> Iterator[str]:
    """What to keep out of, and what the advice on the temperature leaves out."""
    steel = card.treatment
    if not steel.tempers:
        yield f"No tempering table stands here for {steel.steel}: take temperature and hardness from the data sheet."
    yield from (temper.words for temper in steel.avoid)
    if card.temper is not None:
        yield from card.temper.words


def _aim(card: HeatTreatCard) -> Iterator[Number]:
    advice = card.temper
    if advice is None:
        return
    steel = card.treatment
    hard, soft = (f"{steel.hardness_at(celsius).hrc:.1f}" for celsius in (advice.least, advice.most))
    note = "the middle of the wanted hardness"
    if advice.spared:
        note = f"as near the middle of the wanted hardness as the range to avoid allows: {soft} to {hard} HRC"
    elif not card.gives_all:
        note = f"the table has {soft} to {hard} HRC of what is wanted"
    yield Number(
        what="temper at",
        unit="C",
        value=advice.aim,
        low=advice.least,
        high=advice.most,
        source=steel.table_source(advice.least, advice.most),
        note=note,
    )
