"""The way out of a stack that does not fit: one for all findings of a fastener, tried on the whole knife."""

from __future__ import annotations

import dataclasses
import itertools
import math
from collections.abc import Iterable, Iterator, Sequence

from bladegeom.fasteners.hardware import New, Stack
from bladegeom.fasteners.stack import stack_at, stacks
from bladegeom.fasteners.stack_limits import missed
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.units import show_length

STEP = 0.05
"""Fixes are told in whole steps, rounded to the safe side, mm; own choice: nobody sets a depth stop finer."""

_MOST_THICKER, _THICKER_BY = 10.0, 0.5
"""Scales are tried thicker by up to this much, in steps, mm; own choice: more would be another handle."""

NOTHING_HELPS = (
    "no change of this fastener that was tried, with scales up to "
    f"{_MOST_THICKER:g} mm thicker, clears all its findings: it wants other hardware or another place"
)


def up(amount: float) -> float:
    """The next whole step, mm."""
    return round(math.ceil(amount / STEP - 1e-6) * STEP, 6)


def down(amount: float) -> float:
    """The next whole step below, mm."""
    return round(math.floor(amount / STEP + 1e-6) * STEP, 6)


def way_out(knife: Knife, index: int) -> str:
    """What clears all findings of a fastener and worsens no other one.

    First for all fasteners of the same hardware alike, so that one line of the maker's script is changed; then for this
    one alone; last with thicker scales.
    """
    hardware = knife.fasteners[index].hardware
    alike = tuple(i for i, fastener in enumerate(knife.fasteners) if fastener.hardware == hardware)
    for by in _thicker_by(knife):
        for group in (alike, (index,)) if len(alike) > 1 else (alike,):
            new = _found(knife, by, group)
            if new is not None:
                return _told(_with_scales(knife, by), by, index, new) + _whose(knife, group, alike, changed=bool(new))
    return NOTHING_HELPS


def _thicker_by(knife: Knife) -> Iterator[float]:
    """By how much thicker the scales are tried, mm: as they are, then ever more."""
    steps = 0 if knife.scales is None else round(_MOST_THICKER / _THICKER_BY)
    return (i * _THICKER_BY for i in range(steps + 1))


def _with_scales(knife: Knife, by: float) -> Knife:
    """The knife with scales thicker by so much, mm."""
    scales = knife.scales
    if scales is None or not by:
        return knife
    swell = tuple((x, round(thick + by, 6)) for x, thick in scales.swell)
    return dataclasses.replace(
        knife, scales=dataclasses.replace(scales, thickness=round(scales.thickness + by, 6), swell=swell)
    )


def _told(scaled: Knife, by: float, index: int, new: New) -> str:
    """What to do to the scales, which are thicker by so much already, and to the hardware."""
    parts = []
    if by and scaled.scales is not None:
        stations = " and each station of the swell" if scaled.scales.swell else ""
        thick = f"thickness={scaled.scales.thickness:g}"
        parts.append(f"make the scales {show_length(by)} thicker all over ({thick}){stations}")
    if new:
        parts.append(stack_at(scaled, index).change_words(new))
    return " and ".join(parts)


def _whose(knife: Knife, group: tuple[int, ...], alike: tuple[int, ...], *, changed: bool) -> str:
    """Which fasteners a change of the hardware is for."""
    if not changed or len(alike) == 1:
        return ""
    names = sorted(knife.hole_ids[i] for i in group)
    if len(group) > 1:
        return f", for {' and '.join(names)} alike"
    return f", for {names[0]} alone: give {names[0]} its own Fastener(...) with that hardware"


@memo
def _found(bare: Knife, by: float, group: tuple[int, ...]) -> New | None:
    """Other dimensions with which all of a group fit, in scales thicker by so much, and no other fastener is worse off.

    Remembered, as all of a group ask for the same.
    """
    knife = _with_scales(bare, by)
    if by and not _no_worse(knife, [i for i in range(len(knife.fasteners)) if i not in group], stacks(bare)):
        return None
    own = [stack_at(knife, i) for i in group]
    if by and all(clean(stack) for stack in own):
        return {}
    # From the most troubled one: what does for it is likeliest to do for all.
    own.sort(key=lambda stack: -sum(missed(stack.limits).values()))
    singles = (new for stack in own if not by for new in stack.single_changes())
    for new in singles:
        if fits(own, new):
            return new
    for stack in own:
        for new in itertools.islice((new for new in stack.whole_changes() if fits(own, new)), 1):
            return _least(own, new)
    return None


def _no_worse(knife: Knife, others: Iterable[int], before: Sequence[Stack]) -> bool:
    """Whether fasteners miss nothing that they did not miss as badly before."""
    return all(
        rank <= missed(before[i].limits).get(code, 0)
        for i in others
        for code, rank in missed(stack_at(knife, i).limits).items()
    )


def clean(stack: Stack) -> bool:
    """Whether a stack keeps all its limits, in the worst case too."""
    return not missed(stack.limits)


def fits(stacks: Iterable[Stack], new: New) -> bool:
    """Whether all stacks keep their limits with other dimensions."""
    return all(clean(stack.tried(new)) for stack in stacks)


def _least(stacks: list[Stack], new: New) -> New:
    """Without the changes that are not needed."""
    for name in list(new):
        fewer = {other: value for other, value in new.items() if other != name}
        if possible(stacks[0], fewer) and fits(stacks, fewer):
            new = fewer
    return new


def possible(stack: Stack, new: New) -> bool:
    """Whether such hardware can be: a kind refuses for itself what cannot."""
    try:
        dataclasses.replace(stack.hardware, **new)
    except ParameterError:
        return False
    return True
