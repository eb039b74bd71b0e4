"""Ways out for a standoff and its screws, the least trouble first."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from bladegeom.body.hardware.standoff import StandoffScrews
from bladegeom.quantities.heads import CountersunkHead, countersunk_heads
from bladegeom.quantities.screw_holes import clearance_holes
from bladegeom.quantities.threads import thread, threads
from bladegeom.quantities.units import length, show_length
from bladegeom.reason.stack_fix import STEP, New, Ways, down, tried, up
from bladegeom.reason.stack_limits import limits
from bladegeom.reason.stack_standoff import StandoffStack


def _singles(stack: StandoffStack) -> Iterator[New]:
    """Screws as they are sold, the nearest length first; then other depths, lengths and cut screws."""
    one, now = stack.standoff, stack.screw.length
    for screw in sorted(one.lengths, key=lambda sold: abs(sold.length - now)):
        if abs(screw.length - now) > STEP:
            yield {"screw_length": screw.name}
    missing = sorted({limit.missing for limit in limits(stack) if limit.severity})
    amounts = [sign * part * by for by in missing for part in (1.0, 0.5, 2.0) for sign in (1.0, -1.0)]
    for by in amounts:
        near = up if by > 0 else down
        yield from _at_least(0.0, "recess", near(one.recess + by))
        yield from _at_least(0.0, "pocket_play", near(one.pocket_play + by))
        yield from _at_least(STEP, "length", near(one.length + by))
        yield from _at_least(stack.cone + STEP, "screw_length", near(now + by))


def _at_least(least: float, name: str, value: float) -> Iterator[New]:
    if value >= least:
        yield {name: value}


def _whole(stack: StandoffStack) -> Iterator[New]:
    """The longest standoff that leaves the floor with the longest screws for it; then the same with thinner threads."""
    for more in ({}, *_thinner(stack.standoff)):
        at = tried(stack, more)
        yield from ({**more, **new} for new in _fitted(at))


def _thinner(one: StandoffScrews) -> Iterator[dict[str, Any]]:
    """The next thinner threads of the same system, as far as there are heads for them; own heads have no other."""
    if isinstance(one.head, CountersunkHead) or one.screw_hole is not None:
        return
    standard = one.screw_head.standard
    sizes = {head.thread for head in countersunk_heads() if head.standard == standard}
    sizes &= {hole.size for hole in clearance_holes()}
    for other in threads(one.screw.system)[::-1]:
        if other.major < one.screw.major and other.size in sizes:
            yield {"thread": other.name}


def _fitted(stack: StandoffStack) -> Iterator[New]:
    recess = max(stack.standoff.recess, up(stack.recess.nominal - stack.recess.low))
    play = max(stack.standoff.pocket_play, 2 * up(_closing(stack)))
    at = tried(stack, {"recess": recess, "pocket_play": play, "screw_length": None})
    rules, deeper = stack.site.knife.handle_rules, stack.site.knife.shop.tolerances.depth_stop
    cover = at.site.surface(at.pocket)[0].low
    pocket = min(at.cone_end.low, cover) - deeper - rules.floor
    size = down(2 * (at.site.inside.nominal + max(pocket, 0.0)) - play)
    if size <= 0:
        return
    new = {"length": size, "recess": recess, "pocket_play": play, "screw_length": None}
    yield {**new, "screw_length": tried(at, new).screw.name}


def _closing(stack: StandoffStack) -> float:
    """Play at each end that lets the scales close in the worst case, mm."""
    tolerances, scales = stack.site.knife.shop.tolerances, stack.site.knife.scales
    liners = len(scales.liners) if scales else 0
    return (tolerances.tang + tolerances.sleeve) / 2 + tolerances.liner * liners + tolerances.depth_stop


def _words(one: StandoffScrews, new: New) -> str:
    """As "take a standoff 1.00 mm (0.039 in) longer (length=14) and use 3/8 in screws (screw_length='3/8 in')"."""
    parts = []
    if "thread" in new:
        parts.append(f"take {thread(new['thread']).name} screws (thread={new['thread']!r})")
    if "length" in new:
        by = new["length"] - one.length
        how = "longer" if by > 0 else "shorter"
        parts.append(f"take a standoff {show_length(abs(by))} {how} (length={new['length']:g})")
    if "screw_length" in new:
        parts.append(_screw_words(one, new["screw_length"]))
    if "recess" in new:
        by = new["recess"] - one.recess
        how = "deeper" if by > 0 else "less deep"
        parts.append(f"sink the heads {show_length(abs(by))} {how} (recess={new['recess']:g})")
    if "pocket_play" in new:
        by = (new["pocket_play"] - one.pocket_play) / 2
        how = "deeper" if by > 0 else "less deep"
        parts.append(f"sink each pocket {show_length(abs(by))} {how} (pocket_play={new['pocket_play']:g})")
    return " and ".join(parts)


def _screw_words(one: StandoffScrews, size: str | float) -> str:
    if isinstance(size, str):
        return f"use {size} screws (screw_length={size!r})"
    longer = next((sold.name for sold in one.lengths if sold.length > length(size)), "longer")
    return f"cut {longer} screws to {show_length(size)} (screw_length={size:g})"


STANDOFF = Ways(singles=_singles, whole=_whole, words=_words)
