"""What a stack is held to: each number with its limit, and how badly it misses it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bladegeom.fasteners.stack import Stack
from bladegeom.fasteners.stack_bolt import BoltStack
from bladegeom.fasteners.stack_standoff import StandoffStack
from bladegeom.knife.finding import Severity
from bladegeom.quantities.interval import Interval
from bladegeom.quantities.tolerances import SHOP

FITS_TOGETHER = "the layers must fit each other"
"""Source of limits that follow from geometry alone."""


@dataclass(frozen=True, kw_only=True)
class Limit:
    """A number of a stack that must not fall below a limit.

    Args:
        code: Of the finding.
        words: What the number is: "floor under the head".
        below_nought: What happens where there is none of it: "it runs into the pocket".
        value: Nominal and worst case, mm.
        least: mm.
        source: Of the limit.
    """

    code: str
    words: str
    below_nought: str
    value: Interval
    least: float
    source: str

    @property
    def severity(self) -> Severity | None:
        """An error where it is missed as drawn, a warning where only in the worst case, else None."""
        if self.value.nominal < self.least - SHOP:
            return "error"
        return "warning" if self.value.low < self.least - SHOP else None

    @property
    def missing(self) -> float:
        """By how much the worst case misses it, mm."""
        return self.least - self.value.low


def limits(stack: Stack) -> tuple[Limit, ...]:
    """All that a stack is held to; of a scale too thin for the head that only, since the rest would follow from it."""
    match stack:
        case StandoffStack():
            return _standoff(stack)
        case BoltStack():
            return _bolt(stack)
        case _:
            return ()


def clean(stack: Stack) -> bool:
    """Whether a stack keeps all its limits, in the worst case too."""
    return not missed(stack)


def missed(stack: Stack) -> Mapping[str, int]:
    """Codes of the limits that a stack misses, 2 as drawn, 1 in the worst case only."""
    ranks = {"error": 2, "warning": 1}
    return {one.code: ranks[one.severity] for one in limits(stack) if one.severity}


def _standoff(stack: StandoffStack) -> tuple[Limit, ...]:
    rules = stack.site.knife.handle_rules
    if stack.cone_end.nominal < -SHOP:
        words = f"the scale is thinner than the head of its {stack.standoff.screw.name} screw: over the liners it is"
        return (_too_thin(stack, words, stack.standoff.recess + stack.cone),)
    screw, tapped = stack.screw, stack.standoff.tapped_metal
    thread = f"{stack.standoff.screw.name} x {screw.name} screws"
    sought = stack.standoff.screw_length is None
    no_length = sought and stack.tip_gap(screw.length).low < rules.tip_gap
    return (
        Limit(
            code="floor",
            words="scale between countersink and pocket" if stack.pocket_depth.nominal else "floor under the head",
            below_nought="the countersink runs into the pocket" if stack.pocket_depth.nominal else "it goes through",
            value=stack.floor,
            least=rules.floor,
            source=rules.source("floor"),
        ),
        Limit(
            code="pocket-cover",
            words="scale over the pocket",
            below_nought="it breaks through",
            value=stack.pocket_cover,
            least=rules.floor,
            source=rules.source("floor"),
        ),
        Limit(
            code="no-screw-length" if no_length else "tip-gap",
            words=f"gap between the tips of {thread}{', the shortest that are sold,' if no_length else ''}",
            below_nought="they clash",
            value=stack.tip_gap(screw.length),
            least=rules.tip_gap,
            source=rules.source("tip_gap"),
        ),
        Limit(
            code="engagement",
            words=f"thread of {thread}{', the longest whose tips keep apart,' if sought else ''} in the standoff",
            below_nought="they do not reach it",
            value=stack.engagement(screw.length),
            least=rules.engagement(stack.standoff.screw, tapped),
            source=rules.engagement_source(stack.standoff.screw, tapped),
        ),
        Limit(
            code="head-proud",
            words="recess of the heads below the finished scale",
            below_nought="they stand proud",
            value=stack.recess,
            least=0.0,
            source=FITS_TOGETHER,
        ),
        Limit(
            code="end-play",
            words="room between each end of the standoff and its pocket's floor",
            below_nought="the scales do not close",
            value=stack.end_play,
            least=0.0,
            source=FITS_TOGETHER,
        ),
    )


def _bolt(stack: BoltStack) -> tuple[Limit, ...]:
    rules, bolt = stack.site.knife.handle_rules, stack.bolt
    if stack.floor.nominal < -SHOP:
        words = "the scale is thinner than what is to be left of the bolt's head: over the liners it is"
        return (_too_thin(stack, words, bolt.head_left),)
    metal = bolt.tapped_metal
    return (
        Limit(
            code="floor",
            words="floor under the head",
            below_nought="the counterbore goes through",
            value=stack.floor,
            least=rules.floor,
            source=rules.source("floor"),
        ),
        Limit(
            code="head-left",
            words="left of the head after contouring",
            below_nought="it is ground through",
            value=stack.head_left,
            least=rules.head_left,
            source=rules.source("head_left"),
        ),
        Limit(
            code="head-pit",
            words="height of the head over the finished scale where that is highest",
            below_nought="it lies in a pit",
            value=stack.head_cover,
            least=0.0,
            source=FITS_TOGETHER,
        ),
        Limit(
            code="shoulders-meet",
            words="gap between the shoulders",
            below_nought="they meet before the heads seat",
            value=stack.shoulder_gap,
            least=0.0,
            source=FITS_TOGETHER,
        ),
        Limit(
            code="engagement",
            words=f"length of thread that holds the {bolt.screw.name} stud",
            below_nought="it does not reach",
            value=stack.engagement,
            least=rules.engagement(bolt.screw, metal),
            source=rules.engagement_source(bolt.screw, metal),
        ),
        Limit(
            code="stud-bottoms",
            words="room between the stud's end and the bottom of the tapped hole, as deep as the stud is long,",
            below_nought="it bottoms before the heads seat",
            value=stack.stud_room,
            least=0.0,
            source=FITS_TOGETHER,
        ),
        Limit(
            code="tap-through",
            words="left between the tapped hole, as deep as the stud is long, and the ground head",
            below_nought="the hole shows in the head",
            value=stack.tap_end,
            least=rules.tap_end,
            source=rules.source("tap_end"),
        ),
    )


def _too_thin(stack: StandoffStack | BoltStack, words: str, over_floor: float) -> Limit:
    rules = stack.site.knife.handle_rules
    return Limit(
        code="scale-too-thin",
        words=words,
        below_nought="",
        value=stack.surface[0],
        least=over_floor + rules.floor,
        source=rules.source("floor"),
    )
