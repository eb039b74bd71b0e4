"""What a standoff and its screws are held to."""

from __future__ import annotations

from bladegeom.fasteners.stack_limits import FITS_TOGETHER, Limit, too_thin
from bladegeom.fasteners.stack_words import ENGAGEMENT, FLOOR
from bladegeom.fasteners.standoff.numbers import END_PLAY, POCKET_COVER, RECESS, TIP_GAP, StandoffNumbers
from bladegeom.quantities.tolerances import SHOP


def standoff_limits(stack: StandoffNumbers) -> tuple[Limit, ...]:
    """All that a standoff is held to."""
    rules = stack.layers.knife.handle_rules
    if stack.cone_end.nominal < -SHOP:
        words = f"the scale is thinner than the head of its {stack.hardware.screw.name} screw: over the liners it"
        return (too_thin(rules, words, stack.surface[0], stack.hardware.recess + stack.cone),)
    screw, tapped = stack.screw, stack.hardware.tapped_metal
    thread = f"{stack.hardware.screw.name} x {screw.name} screws"
    sought = stack.hardware.screw_length is None
    pocketed = stack.pocket_depth.nominal != 0
    no_length = sought and stack.tip_gap(screw.length).low < rules.tip_gap
    return (
        Limit(
            code="floor",
            number=FLOOR,
            words="the scale between countersink and pocket" if pocketed else "the floor under the head",
            below_nought="the countersink runs into the pocket" if pocketed else "it goes through",
            value=stack.floor,
            least=rules.floor,
            source=rules.source("floor"),
        ),
        Limit(
            code="pocket-cover",
            number=POCKET_COVER,
            words="the scale over the pocket",
            below_nought="it breaks through",
            value=stack.pocket_cover,
            least=rules.floor,
            source=rules.source("floor"),
        ),
        Limit(
            code="no-screw-length" if no_length else "tip-gap",
            number=TIP_GAP,
            words=f"the gap between the tips of {thread}{', the shortest that are sold,' if no_length else ''}",
            below_nought="they clash",
            value=stack.tip_gap(screw.length),
            least=rules.tip_gap,
            source=rules.source("tip_gap"),
        ),
        Limit(
            code="engagement",
            number=ENGAGEMENT,
            words=f"the thread of {thread}{', the longest whose tips keep apart,' if sought else ''} in the standoff",
            below_nought="they do not reach it",
            value=stack.engagement(screw.length),
            least=rules.engagement(stack.hardware.screw, tapped),
            source=rules.engagement_source(stack.hardware.screw, tapped),
        ),
        Limit(
            code="head-proud",
            number=RECESS,
            words="the recess of the heads below the finished scale",
            below_nought="they stand proud",
            value=stack.recess,
            least=0.0,
            source=FITS_TOGETHER,
        ),
        Limit(
            code="end-play",
            number=END_PLAY,
            words="the room between each end of the standoff and its pocket's floor",
            below_nought="the scales do not close",
            value=stack.end_play,
            least=0.0,
            source=FITS_TOGETHER,
        ),
    )
