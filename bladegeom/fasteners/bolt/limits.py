"""What a bolt is held to."""

from __future__ import annotations

from bladegeom.fasteners.bolt.numbers import HEAD_COVER, SHOULDER_GAP, STUD_ROOM, TAP_END, BoltNumbers
from bladegeom.fasteners.stack_limits import FITS_TOGETHER, Limit, too_thin
from bladegeom.fasteners.stack_words import ENGAGEMENT, FLOOR, HEAD_LEFT
from bladegeom.quantities.tolerances import SHOP


def bolt_limits(stack: BoltNumbers) -> tuple[Limit, ...]:
    """All that a bolt is held to."""
    rules, bolt = stack.layers.knife.handle_rules, stack.hardware
    if stack.floor.nominal < -SHOP:
        words = "the scale is thinner than what is to be left of the bolt's head: over the liners it"
        return (too_thin(rules, words, stack.surface[0], bolt.head_left),)
    metal = bolt.tapped_metal
    return (
        Limit(
            code="floor",
            number=FLOOR,
            words="the floor under the head",
            below_nought="the counterbore goes through",
            value=stack.floor,
            least=rules.floor,
            source=rules.source("floor"),
        ),
        Limit(
            code="head-left",
            number=HEAD_LEFT,
            words="what is left of the head after contouring",
            below_nought="it is ground through",
            value=stack.head_left,
            least=rules.head_left,
            source=rules.source("head_left"),
        ),
        Limit(
            code="head-pit",
            number=HEAD_COVER,
            words="the height of the head over the finished scale where that is highest",
            below_nought="it lies in a pit",
            value=stack.head_cover,
            least=0.0,
            source=FITS_TOGETHER,
        ),
        Limit(
            code="shoulders-meet",
            number=SHOULDER_GAP,
            words="the gap between the shoulders",
            below_nought="they meet before the heads seat",
            value=stack.shoulder_gap,
            least=0.0,
            source=FITS_TOGETHER,
        ),
        Limit(
            code="engagement",
            number=ENGAGEMENT,
            words=f"the length of thread that holds the {bolt.screw.name} stud",
            below_nought="it does not reach",
            value=stack.engagement,
            least=rules.engagement(bolt.screw, metal),
            source=rules.engagement_source(bolt.screw, metal),
        ),
        Limit(
            code="stud-bottoms",
            number=STUD_ROOM,
            words="the room between the stud's end and the bottom of the tapped hole, as deep as the stud is long,",
            below_nought="it bottoms before the heads seat",
            value=stack.stud_room,
            least=0.0,
            source=FITS_TOGETHER,
        ),
        Limit(
            code="tap-through",
            number=TAP_END,
            words="what is left between the tapped hole, as deep as the stud is long, and the ground head",
            below_nought="the hole shows in the head",
            value=stack.tap_end,
            least=rules.tap_end,
            source=rules.source("tap_end"),
        ),
    )
