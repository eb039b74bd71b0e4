"""The handle beside the hand that it is declared for: long enough, and neither too thin nor too thick."""

from __future__ import annotations

import math
from collections.abc import Iterator

from bladegeom.handle.hand import DEFER, Guide, hand_guides
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.outline.halves import has_hidden_tang
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length

COMMON_GIRTH = (70.0, 90.0)
"""Of knives, mm; common practice, no source. What is published is for tools gripped with force."""


@rule(
    Code("handle-not-told", ("note",), "a hand is declared and the handle is not"),
    Code("handle-short", ("warning",), "the handle is shorter than the hand wants"),
    Code("grip-thin", ("note",), "the girth is less than recommended"),
    Code("grip-thick", ("note",), "the girth is more than recommended"),
)
def check_hand(knife: Knife) -> Iterator[Finding]:
    """What misses the published limits; nothing where no hand is declared."""
    if knife.hand_breadth is None:
        return
    if has_hidden_tang(knife.outline.profiles):
        text = (
            f"a hand {show_length(knife.hand_breadth)} broad is named, but the tang hides in a block that is not "
            "declared: length and girth of the handle are not told; measure them on the block"
        )
        yield Finding(code="handle-not-told", severity="note", part="handle", message=text, source="what is declared")
    for guide in hand_guides(knife):
        if guide.what == "handle length":
            yield from _length(knife, guide)
        elif guide.what == "equivalent diameter":
            yield from _grip(guide)


def _length(knife: Knife, guide: Guide) -> Iterator[Finding]:
    least = guide.low or 0.0
    if guide.value >= least - SHOP:
        return
    yield Finding(
        code="handle-short",
        severity="warning",
        part="handle",
        message=(
            f"the handle is {show_length(guide.value)} long, and a hand {show_length(knife.hand_breadth or 0.0)} broad "
            f"wants {show_length(least)}: make it {show_length(least - guide.value)} longer. {DEFER}"
        ),
        measured=guide.value,
        limit=least,
        source=guide.source,
    )


def _grip(guide: Guide) -> Iterator[Finding]:
    low, high = guide.low or 0.0, guide.high or math.inf
    if low - SHOP <= guide.value <= high + SHOP:
        return
    thin = guide.value < low
    limit = low if thin else high
    girth, wanted = math.pi * guide.value, math.pi * limit
    # Two scales thicker by t each make top and underside wider by 2 t; a higher handle makes both sides higher.
    scale, height = abs(wanted - girth) / 4, abs(wanted - girth) / 2
    more, higher, bound = ("thicker", "higher", "least") if thin else ("thinner", "lower", "most")
    common = " to ".join(f"{mm:g}" for mm in COMMON_GIRTH)
    yield Finding(
        code="grip-thin" if thin else "grip-thick",
        severity="note",
        part="handle",
        message=(
            f"where the handle is thickest its girth is {show_length(girth)}; for a power grip at {bound} "
            f"{show_length(wanted)} is recommended: scales {show_length(scale)} {more} each, "
            f"every station of a swell and the thickness, a handle {show_length(height)} {higher}, or some of both. "
            f"Knives are commonly {common} mm round. {DEFER}"
        ),
        measured=guide.value,
        limit=limit,
        source=guide.source,
    )
