"""How a knife is cared for, in words for who gets it: its steel, its handle, its edge, what it does not bear.

Source:
    Common practice, no source. What the materials hold is told by the tables of materials and of allergens.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from bladegeom.agreement.plain_words import PART_WORDS, material_words, sentence
from bladegeom.knife.knife import Knife
from bladegeom.order.order import Order
from bladegeom.order.order_features import parts_of
from bladegeom.quantities.allergens import allergen_in, allergens
from bladegeom.quantities.materials import Material
from bladegeom.quantities.shown import hand_angle

SAFETY: Final = (
    "A knife is a sharp tool: cut away from yourself, pass it handle first, and keep it out of the reach of children.",
    "Which blades may be owned, and how they may be carried, differs from place to place: find out what the law says "
    "where you live and travel.",
)

_NEARLY: Final = 10.5
"""Chromium from which a steel with much carbon stains slowly, per cent; own reading of the limit for stainless."""

_CHIPS: Final = 60.0
"""Hardness from which a ridged steel rod breaks pieces out of an edge, HRC."""

_FOOD: Final = frozenset({"food", "fish", "game"})
_BLOWS: Final = frozenset({"chopping", "heavy chopping", "batoning"})


@dataclass(frozen=True, kw_only=True)
class CareBlock:
    """A title with sentences under it."""

    title: str
    lines: tuple[str, ...]


def care_blocks(knife: Knife, order: Order | None, hard: tuple[float, float] | None) -> tuple[CareBlock, ...]:
    """What to do.

    Args:
        knife: The design.
        order: What it is for, and what else the customer told; None knows nothing of that.
        hard: Hardness of the blade, HRC; None where nobody has told it.
    """
    steel = knife.stock.material
    blocks = (
        CareBlock(title=f"The blade: {material_words(steel)}{_hardness(hard)}", lines=tuple(_blade(steel, order))),
        CareBlock(title=_handle_title(knife), lines=tuple(_handle(knife))),
        CareBlock(title="The edge", lines=tuple(_edge(knife, order, hard))),
        CareBlock(title="When it is put away", lines=tuple(_put_away(order))),
        CareBlock(title="What the skin may touch", lines=tuple(_touched(knife, order))),
        CareBlock(title="A sharp tool", lines=SAFETY),
    )
    return tuple(block for block in blocks if block.lines)


def never_lines(order: Order | None) -> tuple[str, ...]:
    """What the knife does not bear; what it was ordered for is left out."""
    return tuple(_never(_uses(order), food=touches_food(order)))


def touches_food(order: Order | None) -> bool:
    """Whether the knife is made for food; so is one of which nobody has told what it is for."""
    return order is None or not order.use or bool(_uses(order) & _FOOD)


def _uses(order: Order | None) -> frozenset[str]:
    return frozenset() if order is None else frozenset(order.use)


def _hardness(hard: tuple[float, float] | None) -> str:
    if hard is None:
        return ""
    low, high = hard
    return f", {low:g} HRC" if low == high else f", {low:g} to {high:g} HRC"


def _blade(steel: Material, order: Order | None) -> Iterator[str]:
    if steel.kind != "steel":
        yield "This metal does not rust. Wash it by hand with mild soap and dry it."
        return
    oil = "an oil that is safe with food: mineral oil sold for it, or camellia oil" if touches_food(order) else "oil"
    if steel.stainless:
        yield "Wash it by hand after use with warm water and mild soap, and dry it at once."
        yield "It resists rust and is not proof against it: salt, acid, bleach and lying wet leave pits."
        yield "Stains come off with a paste of baking soda, rubbed along the blade."
    else:
        yield _rusts(steel)
        yield "Wash it by hand as soon as you are done, with warm water and mild soap, and dry it at once."
        yield (
            "It turns grey and blue with use, from acid food first: leave that, it protects. Red rust comes off with "
            "oil and fine steel wool, rubbed along the blade; the sooner the better."
        )
    yield f"Before it is put away for longer: a film of {oil}. Cooking oil turns sticky."
    if order is not None and "salt water" in order.environment:
        yield "After salt water rinse it with fresh water first."


def _rusts(steel: Material) -> str:
    if steel.stainless is None:
        return "Whether this steel is stainless is not known here: treat it as one that rusts within minutes when wet."
    if steel.content("Cr")[0] >= _NEARLY:
        return "This steel is not quite stainless: it stains slowly, and rusts where it is left wet."
    return "This steel is not stainless: left wet it rusts within minutes."


def _handle_title(knife: Knife) -> str:
    return "The handle" if knife.scales is None else f"The handle: {material_words(knife.scales.material)}"


def _handle(knife: Knife) -> Iterator[str]:
    if knife.scales is None:
        return
    of = knife.scales.material
    yield from _FILLED if of.name == "stabilised wood" else _HANDLES[of.kind]
    metals = (metal for part, each in parts_of(knife).items() if part != "steel" for metal in each)
    if any(metal.kind == "metal" and metal.content("Cu")[0] > 0 for metal in metals):
        yield "Brass, bronze and copper darken, which does no harm: a dry cloth brings the shine back."


_FILLED: Final = (
    "Wood filled with resin: wash it with mild soap and dry it; it needs no oil, now and then a little wax.",
    "Heat softens the resin: nothing hotter than the hand bears.",
)

_HANDLES: Final = {
    "wood": (
        "Wood takes up water, swells and cracks: wash it quickly, never soak it, and dry it at once.",
        "Two or three times a year, or when it looks dry: rub in a little linseed or tung oil without driers, and wipe "
        "off what is left after a quarter of an hour.",
        "Rags with such oil can catch fire by themselves: let them dry spread out in the open.",
    ),
    "horn-bone": (
        "Horn, bone and antler swell in water, crack in dry heat and warp when hot: lukewarm water only, and dry it at "
        "once. No sun, no heater, no hot water.",
        "When it looks dull: a trace of mineral oil or wax.",
    ),
    "laminate": ("Cloth or glass in resin: soap, warm water and a soft brush. It needs no oil. No strong solvents.",),
    "fibre": ("Pressed cellulose swells and curls when wet: wipe it with a damp cloth and dry it at once.",),
    "polymer": ("Plastic: soap and warm water. It softens in heat: not in a hot car, not by the stove.",),
    "metal": ("Soap and warm water, and dry it; a trace of wax keeps fingerprints off.",),
    "steel": ("Care for it as for the blade.",),
    "adhesive": ("Cast resin: soap and warm water; it softens in heat.",),
}
"""By kinds of materials."""


def _edge(knife: Knife, order: Order | None, hard: tuple[float, float] | None) -> Iterator[str]:
    grind = knife.grind
    angle = hand_angle(grind.sharpen_deg)
    if grind.only is None:
        yield f"Sharpened at {angle} on each side, {hand_angle(2 * grind.sharpen_deg)} together: keep to that angle."
    else:
        other = "left" if grind.only == "right" else "right"
        yield (
            f"Sharpened at {angle} on the {grind.only} side alone. The {other} side stays flat: lay it down on the "
            "stone only to take the burr off."
        )
    yield (
        "Little and often: a few strokes on a strop or a fine ceramic rod before it is dull. Then a wet stone of grit "
        "1000, and a finer one after it, until a burr is felt along the whole edge; take that off with light strokes."
    )
    if hard is not None and hard[1] >= _CHIPS:
        yield "No ridged steel rod: at this hardness it breaks small pieces out of the edge."
    if order is not None and order.sharpening:
        yield f"You sharpen with {order.sharpening}."
    yield "Cut on wood or on a soft plastic board."


def _put_away(order: Order | None) -> Iterator[str]:
    yield (
        "Dry, and with the edge covered: in a block, on a magnet with the spine first, or in its sheath; not loose in "
        "a drawer."
    )
    sheath = None if order is None else order.sheath
    if sheath is not None and "leather" in sheath.material.lower():
        yield (
            "Not in leather for weeks: it holds water and salts that eat steel. A wet sheath dries apart from the "
            "knife, away from any heater."
        )
    elif sheath is not None:
        yield "Rinse and dry the sheath apart from the knife: what gets caught in it scratches and rusts."


def _touched(knife: Knife, order: Order | None) -> Iterator[str]:
    """What materials hold that some do not bear, as far as the tables know."""
    held: dict[str, tuple[str, ...]] = {}
    for part, made in parts_of(knife).items():
        notes = dict.fromkeys(row.note for row in allergens() for of in made if row.holds(of))
        if part in PART_WORDS and notes:
            held[part] = tuple(notes)
    if held:
        told = "; ".join(f"{PART_WORDS[part]}: {', '.join(notes)}" for part, notes in held.items())
        yield (
            f"Some people's skin does not bear these: {told}. How much reaches the skin nobody knows here; a doctor "
            "does."
        )
    for allergy in () if order is None else order.allergies:
        every = (of for made in parts_of(knife).values() for of in made)
        names = dict.fromkeys(of.name for of in every if allergen_in(allergy, of) is not None)
        what = f"it is held by {', '.join(names)}" if names else "nothing in this knife is known to hold it"
        yield sentence(f"You told of an allergy to {allergy}: {what}")


def _force(uses: frozenset[str], *, food: bool) -> Iterator[str]:
    if not uses:
        yield "Prying, bones, frozen food, blows on the spine, unless its maker told you that it bears them."
        yield "Throwing."
        return
    if food and not uses & _BLOWS:
        yield "Bones, frozen food, and turning the blade in the cut."
    if "prying" not in uses:
        yield "Prying, levering, opening tins, turning screws."
    if "batoning" not in uses:
        yield "Blows on the spine."
    yield "Throwing."


def _never(uses: frozenset[str], *, food: bool) -> Iterator[str]:
    yield "The dishwasher: heat, salts and knocks ruin steel, edge and handle."
    yield "Lying in the sink or in water: it corrodes, and whoever reaches in is cut."
    yield "Glass, stone, steel or a plate to cut on."
    if food:
        yield "Sweeping the board with the edge: take the spine."
    yield from _force(uses, food=food)
    yield "A dry grinding wheel, a flame, an oven: an edge that has turned blue is soft for good."
