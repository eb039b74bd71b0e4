"""Ways out for a standoff and its screws, the least trouble first."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from bladegeom.fasteners.hardware import New
from bladegeom.fasteners.stack_fix import STEP, down, up
from bladegeom.fasteners.stack_limits import missed
from bladegeom.fasteners.standoff.declared import DeclaredStandoff
from bladegeom.fasteners.standoff.numbers import StandoffNumbers
from bladegeom.quantities.heads import CountersunkHead, countersunk_heads
from bladegeom.quantities.screw_holes import clearance_holes
from bladegeom.quantities.sold_lengths import sleeve_lengths
from bladegeom.quantities.threads import thread, threads
from bladegeom.quantities.units import length, show_length


def other_sizes(stack: StandoffNumbers) -> Iterator[New]:
    """Screws and sleeves as they are sold, the nearest length first; then other depths, lengths and cut screws."""
    standoff, now = stack.hardware, stack.screw.length
    for screw in sorted(standoff.lengths, key=lambda sold: abs(sold.length - now)):
        if abs(screw.length - now) > STEP:
            yield {"screw_length": screw.name}
    for sleeve in sorted(sleeve_lengths(standoff.screw.system), key=lambda sold: abs(sold.length - standoff.length)):
        if abs(sleeve.length - standoff.length) > STEP:
            yield {"length": sleeve.length}
    missing = sorted({limit.missing for limit in stack.limits if limit.severity})
    amounts = [sign * part * by for by in missing for part in (1.0, 0.5, 2.0) for sign in (1.0, -1.0)]
    for by in amounts:
        near = up if by > 0 else down
        yield from _at_least(0.0, "recess", near(standoff.recess + by))
        yield from _at_least(0.0, "pocket_play", near(standoff.pocket_play + by))
        yield from _at_least(STEP, "length", near(standoff.length + by))
        yield from _at_least(stack.cone + STEP, "screw_length", near(now + by))


def _at_least(least: float, name: str, value: float) -> Iterator[New]:
    if value >= least:
        yield {name: value}


def another_standoff(stack: StandoffNumbers) -> Iterator[New]:
    """The longest standoff that leaves the floor with the longest screws for it; then the same with thinner threads.

    One that is sold comes before one that is faced to length.
    """
    for more in ({}, *_thinner(stack.hardware)):
        at = stack.tried(more)
        yield from ({**more, **new} for new in _fitted(at))


def _thinner(standoff: DeclaredStandoff) -> Iterator[dict[str, Any]]:
    """The next thinner threads that every supplier has, as far as there are heads for them; own heads have no other."""
    if isinstance(standoff.head, CountersunkHead) or standoff.screw_hole is not None:
        return
    standard = standoff.screw_head.standard
    sizes = {head.thread for head in countersunk_heads() if head.standard == standard}
    sizes &= {hole.size for hole in clearance_holes()}
    for other in threads(standoff.screw.system)[::-1]:
        if other.major < standoff.screw.major and other.size in sizes and other.name in _SOLD:
            yield {"thread": other.name}


_SOLD: Final = {
    *("#2-56", "#4-40", "#6-32", "#8-32", "#10-24", "#10-32", "1/4-20"),
    *("M2x0.4", "M2.5x0.45", "M3x0.5", "M4x0.7", "M5x0.8", "M6x1"),
}
"""Threads in which screws and sleeves lie on every shelf: no rare fine pitch is a way out.

Source: from memory of the coarse series of ASME B1.1 in even sizes, with #10-32, and of the first choice of ISO 262.
"""


def _fitted(stack: StandoffNumbers) -> Iterator[New]:
    recess = max(stack.hardware.recess, up(stack.recess.nominal - stack.recess.low))
    play = max(stack.hardware.pocket_play, 2 * up(_closing(stack)))
    at = stack.tried({"recess": recess, "pocket_play": play, "screw_length": None})
    tolerances, rules, layers = stack.layers.knife.shop.tolerances, stack.layers.knife.handle_rules, at.layers
    cover = layers.surface(at.pocket)[0].low
    pocket = min(at.cone_end.low, cover) - tolerances.depth_stop - rules.floor
    # The floor of the deepest pocket that a stop can be set to, above the middle plane; without one the scale's face.
    face, inside = layers.open_face.nominal, layers.inside.nominal
    floor = face + tolerances.no_deeper(inside + pocket - face) if pocket > 0 else inside
    size = down(2 * floor - play)
    sold = [sleeve.length for sleeve in sleeve_lengths(stack.hardware.screw.system) if sleeve.length <= size]
    for long in (*sold[: -1 - _TRIED : -1], *([size] if size > 0 else [])):
        new = {"length": long, "recess": recess, "pocket_play": play, "screw_length": None}
        yield {**new, "screw_length": at.tried(new).screw.name}


_TRIED = 2
"""So many of the longest sleeves on sale are tried: what is shorter holds less thread."""


def _closing(stack: StandoffNumbers) -> float:
    """Play at each end that lets the scales close in the worst case, mm."""
    tolerances, scales = stack.layers.knife.shop.tolerances, stack.layers.knife.scales
    liners = len(scales.liners) if scales else 0
    return (tolerances.tang + tolerances.sleeve) / 2 + tolerances.liner * liners + tolerances.depth_stop


def standoff_words(standoff: DeclaredStandoff, new: New) -> str:
    """As "take a standoff 1.00 mm (0.039 in) longer (length=14) and use 3/8 in screws (screw_length='3/8 in')"."""
    parts = []
    if "thread" in new:
        parts.append(f"take {thread(new['thread']).name} screws (thread={new['thread']!r})")
    if "length" in new:
        parts.append(_sleeve_words(standoff, new["length"]))
    if "screw_length" in new:
        parts.append(_screw_words(standoff, new["screw_length"]))
    if "recess" in new:
        by = new["recess"] - standoff.recess
        how = "deeper" if by > 0 else "less deep"
        parts.append(f"sink the heads {show_length(abs(by))} {how} (recess={new['recess']:g})")
    if "pocket_play" in new:
        by = (new["pocket_play"] - standoff.pocket_play) / 2
        how = "deeper" if by > 0 else "less deep"
        parts.append(f"sink each pocket {show_length(abs(by))} {how} (pocket_play={new['pocket_play']:g})")
    return " and ".join(parts)


def _sleeve_words(standoff: DeclaredStandoff, long: float) -> str:
    by = long - standoff.length
    how = f"{show_length(abs(by))} {'longer' if by > 0 else 'shorter'}"
    sold = next((size for size in sleeve_lengths(standoff.screw.system) if abs(size.length - long) < 1e-6), None)
    named = f"standoff of {sold.name}, {how}" if sold else f"standoff {how}, faced to length"
    return f"take a {named} (length={long:g})"


def half_too_short(stack: StandoffNumbers) -> str:
    """That half a sleeve can never hold the wanted thread, with the lengths on sale that do; "" where it can.

    Two screws share the sleeve, and their tips keep apart: whatever the scales are, one gets half of the rest at most.
    """
    standoff, rules = stack.hardware, stack.layers.knife.handle_rules
    least = 2 * rules.engagement(standoff.screw, standoff.tapped_metal) + rules.tip_gap
    if standoff.length >= least:
        return ""
    return (
        f"half of a sleeve of {show_length(standoff.length)} can never hold that, for both screws and the gap between "
        f"their tips take {show_length(least)} at the very least: {_sold(stack, least)}"
    )


def _sold(stack: StandoffNumbers, least: float) -> str:
    """Lengths on sale that hold the thread here, in the worst case too, and whether the scales have room for them."""
    at = {
        size.name: missed(stack.tried({"length": size.length, "screw_length": None}).limits).keys()
        for size in sleeve_lengths(stack.hardware.screw.system)
        if size.length >= least
    }
    hold = [name for name, codes in at.items() if not codes & _UNHELD]
    room = [name for name in hold if not at[name] & _NO_ROOM]
    if room:
        return f"of those sold, {' or '.join(room[:_NAMED])} does here"
    if hold:
        more = " and longer" if len(hold) > _NAMED else ""
        return f"of those sold, {', '.join(hold[:_NAMED])}{more} would, and these scales are too thin for any of them"
    return "none that is sold is long enough here"


_UNHELD: Final = {"engagement", "tip-gap", "no-screw-length"}
_NO_ROOM: Final = {"floor", "pocket-cover", "scale-too-thin"}
"""Codes of what a sleeve's length decides: the thread, and the scale that is left over its pocket."""

_NAMED = 3
"""So many lengths of sleeves are named."""


def _screw_words(standoff: DeclaredStandoff, size: str | float) -> str:
    if isinstance(size, str):
        return f"use {size} screws (screw_length={size!r})"
    longer = next((sold.name for sold in standoff.lengths if sold.length > length(size)), "longer")
    return f"cut {longer} screws to {show_length(size)} (screw_length={size:g})"
