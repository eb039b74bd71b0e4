"""The stack at each fastener against its limits: floors, heads, threads, tips, and whether the scales close."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bladegeom.fasteners.stack import Stack, stacks
from bladegeom.fasteners.stack_bolt import BoltStack
from bladegeom.fasteners.stack_fix import fits, way_out
from bladegeom.fasteners.stack_fix_bolt import BOLT
from bladegeom.fasteners.stack_fix_standoff import STANDOFF, half_too_short
from bladegeom.fasteners.stack_limits import Limit, limits
from bladegeom.fasteners.stack_rod import RodStack
from bladegeom.fasteners.stack_standoff import StandoffStack
from bladegeom.knife.finding import Finding
from bladegeom.knife.hardware.pin import Pin
from bladegeom.knife.knife import Knife
from bladegeom.quantities.units import show_length


def check_stack(knife: Knife) -> Iterator[Finding]:
    """All findings about how the layers and the hardware fit each other."""
    at = stacks(knife)
    for stack in at:
        if isinstance(stack, RodStack):
            yield from _holds_nothing(stack)
        elif knife.scales is None:
            yield _no_scales(stack)
        else:
            yield from _missed(stack)
    if knife.scales is not None:
        yield from _screws_differ([one for one in at if isinstance(one, StandoffStack)])


def _holds_nothing(stack: RodStack) -> Iterator[Finding]:
    """A pin where there are no scales; a tube for a lanyard may stand alone."""
    one = stack.site.fastener
    if stack.site.knife.scales is None and isinstance(stack.rod, Pin):
        yield Finding(
            code="holds-nothing",
            severity="note",
            part=stack.site.name,
            message=f"{stack.site.place}: the knife has no scales, so it holds nothing; {_DECLARE}",
            source="the knife as declared",
            x=one.x,
            y=one.y,
        )


_DECLARE = 'declare them, scales=Scales(slab="NEMA L", thickness=7.0), or take the fastener away'


def _no_scales(stack: Stack) -> Finding:
    one = stack.site.fastener
    return Finding(
        code="no-scales",
        severity="error",
        part=stack.site.name,
        message=(f"{stack.site.place}: it holds scales and the knife has none; {_DECLARE}"),
        source="the knife as declared",
        x=one.x,
        y=one.y,
    )


def _missed(stack: StandoffStack | BoltStack) -> Iterator[Finding]:
    """What one fastener misses, with one way out for all of it."""
    broken = [one for one in limits(stack) if one.severity]
    if broken:
        ways = BOLT if isinstance(stack, BoltStack) else STANDOFF
        fix = way_out(stack.site.knife, stack.site.index, ways)
        for limit in broken:
            yield _finding(stack, limit, fix)


def _finding(stack: Stack, limit: Limit, fix: str) -> Finding:
    one = stack.site.fastener
    nominal, low = limit.value.nominal, limit.value.low
    drawn = limit.severity == "error"
    worst = f"nominally {show_length(nominal)}, {show_length(low)} in the worst case"
    told = [f"{limit.words} {show_length(nominal) if drawn else worst}"]
    if limit.least > 0:
        told.append(f"< {show_length(limit.least)}")
    if limit.below_nought and (nominal if drawn else low) <= 0:
        told[-1] += f": {limit.below_nought}" if drawn else f", where {limit.below_nought}"
    if limit.code == "engagement" and isinstance(stack, StandoffStack):
        told += [f", {never}"] if (never := half_too_short(stack)) else []
    return Finding(
        code=limit.code,
        severity="error" if drawn else "warning",
        part=stack.site.name,
        message=f"{stack.site.place}: {' '.join(told).replace(' ,', ',')}; {fix}",
        measured=nominal if drawn else low,
        limit=limit.least,
        source=limit.source,
        x=one.x,
        y=one.y,
    )


def _screws_differ(at: Sequence[StandoffStack]) -> Iterator[Finding]:
    """Screws chosen for each place that come out of different lengths, where the standoffs are alike."""
    for group in _alike(at):
        names = {stack.site.name: stack.screw.name for stack in group}
        if len(set(names.values())) == 1:
            continue
        told = ", ".join(f"{name} takes {names[name]}" for name in sorted(names))
        yield Finding(
            code="screws-differ",
            severity="note",
            part=min(names),
            message=f"standoffs alike, screws of different lengths: {told}; {_common(group)}",
            source="the layers at each place",
        )


def _alike(at: Sequence[StandoffStack]) -> Iterator[list[StandoffStack]]:
    """Those of the same hardware, which take the longest screws that fit where each stands."""
    for hardware in dict.fromkeys(one.standoff for one in at):
        if hardware.screw_length is None:
            yield [one for one in at if one.standoff == hardware]


def _common(group: Sequence[StandoffStack]) -> str:
    """The longest screws as they are sold that serve everywhere."""
    for sold in reversed(group[0].standoff.lengths):
        if fits(group, {"screw_length": sold.name}):
            return f"{sold.name} screws serve in all of them (screw_length={sold.name!r})"
    return "do not mix them up, no one length serves in all of them"
