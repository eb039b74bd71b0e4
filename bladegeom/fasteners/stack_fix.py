"""The way out of a stack that does not fit: one for all findings of a fastener, tried on the whole knife."""

from __future__ import annotations

import dataclasses
import itertools
import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from bladegeom.fasteners.hardware import New, Stack
from bladegeom.fasteners.stack import stack_at
from bladegeom.fasteners.stack_limits import missed
from bladegeom.knife.knife import Knife
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
    alike = [i for i, fastener in enumerate(knife.fasteners) if fastener.hardware == knife.fasteners[index].hardware]
    before = [missed(stack_at(knife, i).limits) for i in range(len(knife.fasteners))]
    for scaled in _thicker(knife):
        told = _with(scaled, index, alike, before)
        if told:
            return told
    return NOTHING_HELPS


@dataclass(frozen=True)
class _Scaled:
    """A knife, with scales thicker by so much."""

    knife: Knife
    by: float

    @property
    def words(self) -> list[str]:
        """What to do to the scales."""
        if not self.by or self.knife.scales is None:
            return []
        stations = " and each station of the swell" if self.knife.scales.swell else ""
        thick = f"thickness={self.knife.scales.thickness:g}"
        return [f"make the scales {show_length(self.by)} thicker all over ({thick}){stations}"]


def _thicker(knife: Knife) -> Iterator[_Scaled]:
    """The knife as it is, then with scales ever thicker."""
    yield _Scaled(knife, 0.0)
    scales = knife.scales
    if scales is None:
        return
    for i in range(1, round(_MOST_THICKER / _THICKER_BY) + 1):
        by = i * _THICKER_BY
        swell = tuple((x, round(thick + by, 6)) for x, thick in scales.swell)
        more = dataclasses.replace(scales, thickness=round(scales.thickness + by, 6), swell=swell)
        yield _Scaled(dataclasses.replace(knife, scales=more), by)


def _with(scaled: _Scaled, index: int, alike: list[int], before: list[Mapping[str, int]]) -> str:
    """With the hardware changed too, for all alike or for one alone; "" if that does not do."""
    for group in [alike, [index]] if len(alike) > 1 else [alike]:
        new = _found(scaled, group, before)
        if new is not None:
            parts = [*scaled.words, *([stack_at(scaled.knife, index).change_words(new)] if new else [])]
            return " and ".join(parts) + _whose(scaled.knife, group, alike, changed=bool(new))
    return ""


def _whose(knife: Knife, group: list[int], alike: list[int], *, changed: bool) -> str:
    """Which fasteners a change of the hardware is for."""
    if not changed or len(alike) == 1:
        return ""
    names = sorted(knife.hole_ids[i] for i in group)
    if len(group) > 1:
        return f", for {' and '.join(names)} alike"
    return f", for {names[0]} alone: give {names[0]} its own Fastener(...) with that hardware"


def _found(scaled: _Scaled, group: list[int], before: list[Mapping[str, int]]) -> New | None:
    """Other dimensions with which all of a group fit and no other fastener is worse off."""
    knife = scaled.knife
    if scaled.by and not _no_worse(knife, [i for i in range(len(before)) if i not in group], before):
        return None
    own = [stack_at(knife, i) for i in group]
    if scaled.by and all(clean(stack) for stack in own):
        return {}
    # From the most troubled one: what does for it is likeliest to do for all.
    own.sort(key=lambda stack: -sum(missed(stack.limits).values()))
    singles = (new for stack in own if not scaled.by for new in stack.single_changes())
    for new in singles:
        if fits(own, new):
            return new
    for stack in own:
        for new in itertools.islice((new for new in stack.whole_changes() if fits(own, new)), 1):
            return _least(own, new)
    return None


def _no_worse(knife: Knife, others: Iterable[int], before: list[Mapping[str, int]]) -> bool:
    """Whether fasteners miss nothing that they did not miss as badly before."""
    return all(
        rank <= before[i].get(code, 0) for i in others for code, rank in missed(stack_at(knife, i).limits).items()
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
