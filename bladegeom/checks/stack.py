"""The stack at each fastener against its limits: floors, heads, threads, tips, and whether the scales close."""

from __future__ import annotations

from collections.abc import Iterator

from bladegeom.fasteners.hardware import Stack
from bladegeom.fasteners.stack import families, stacks
from bladegeom.fasteners.stack_fix import way_out
from bladegeom.fasteners.stack_limits import Limit, missed
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.quantities.units import show_length

_AS_DRAWN = 2
"""Rank of a limit that is missed as drawn."""


def _missed_as_drawn(knife: Knife) -> Iterator[str]:
    """Codes of the limits that are. How to mend them is not asked: that search takes longer than all else."""
    for stack in stacks(knife):
        yield from (code for code, rank in missed(stack.limits).items() if rank == _AS_DRAWN)


@rule(
    Code("holds-nothing", ("note",), "a pin stands where there are no scales"),
    Code("no-scales", ("error",), "a fastener holds scales and there are none"),
    Code("screws-differ", ("note",), "fasteners alike take screws of different lengths"),
    Code("scale-too-thin", ("error", "warning"), "the scale is thinner than the head in it"),
    Code("floor", ("error", "warning"), "too little of the scale is left under a head"),
    Code("pocket-cover", ("error", "warning"), "too little of the scale is left over a pocket"),
    Code("no-screw-length", ("error", "warning"), "no screw that is sold is short enough"),
    Code("tip-gap", ("error", "warning"), "the tips of two screws come too near each other"),
    Code("engagement", ("error", "warning"), "too little thread holds"),
    Code("head-proud", ("error", "warning"), "a head stands proud of the finished scale"),
    Code("end-play", ("error", "warning"), "a standoff is so long that the scales do not close"),
    Code("head-left", ("error", "warning"), "too little of a head is left after contouring"),
    Code("head-pit", ("error", "warning"), "a head lies in a pit of the finished scale"),
    Code("shoulders-meet", ("error", "warning"), "the shoulders meet before the heads seat"),
    Code("stud-bottoms", ("error", "warning"), "a stud bottoms before the heads seat"),
    Code("tap-through", ("error", "warning"), "a tapped hole shows in the ground head"),
    follows=("stack",),
    errors=_missed_as_drawn,
    passes_on="limits that a fastener's own kind declares",
)
def check_stack(knife: Knife) -> Iterator[Finding]:
    """All findings about how the layers and the hardware fit each other."""
    at = stacks(knife)
    if knife.scales is None:
        for stack in at:
            yield from _without_scales(stack)
        return
    for stack in at:
        yield from _missed(stack)
    for kind, family in families(at):
        yield from kind.compared(family)


def _without_scales(stack: Stack) -> Iterator[Finding]:
    """Hardware that has nothing to hold, or nothing to lie in."""
    fastener, severity = stack.layers.fastener, stack.hardware.without_scales
    if severity is not None:
        code, words = _NO_SCALES[severity]
        yield Finding(
            code=code,
            severity=severity,
            part=stack.layers.name,
            message=f"{stack.layers.place}: {words}; {_DECLARE}",
            source="the knife as declared",
            x=fastener.x,
            y=fastener.y,
        )


_NO_SCALES = {
    "note": ("holds-nothing", "the knife has no scales, so it holds nothing"),
    "error": ("no-scales", "it holds scales and the knife has none"),
}
_DECLARE = 'declare them, scales=Scales(slab="NEMA L", thickness=7.0), or take the fastener away'


def _missed(stack: Stack) -> Iterator[Finding]:
    """What one fastener misses, with one way out for all of it."""
    broken = [limit for limit in stack.limits if limit.severity]
    if broken:
        fix = way_out(stack.layers.knife, stack.layers.index)
        for limit in broken:
            yield _finding(stack, limit, fix)


def _finding(stack: Stack, limit: Limit, fix: str) -> Finding:
    fastener = stack.layers.fastener
    nominal, low = limit.value.nominal, limit.value.low
    drawn = limit.severity == "error"
    worst = f"nominally {show_length(nominal)} and {show_length(low)} in the worst case"
    told = f"{limit.words} is {show_length(nominal) if drawn else worst}"
    if limit.least > 0:
        told += f", less than {show_length(limit.least)}"
    if limit.below_nought and (nominal if drawn else low) <= 0:
        told += f": {limit.below_nought}" if drawn else f", where {limit.below_nought}"
    if never := stack.why_never(limit):
        told += f", and {never}"
    return Finding(
        code=limit.code,
        severity="error" if drawn else "warning",
        part=stack.layers.name,
        message=f"{stack.layers.place}: {told}; {fix}",
        measured=nominal if drawn else low,
        limit=limit.least,
        source=limit.source,
        x=fastener.x,
        y=fastener.y,
    )
