"""What the numbers of a stack are called on paper."""

from __future__ import annotations

from typing import Final

WORDS: Final = {
    "pocket_depth": "pocket",
    "pocket_stop": "pocket from the glued liner",
    "seat_depth": "counterbore from the slab",
    "countersink_depth": "countersink from the slab",
    "recess": "head below the scale",
    "floor": "floor",
    "pocket_cover": "scale over the pocket",
    "engagement": "thread held",
    "tip_gap": "between the tips",
    "end_play": "sleeve to pocket floor",
    "counterbore_depth": "counterbore from the slab",
    "head_left": "head left",
    "head_cover": "head over the scale",
    "grip": "grip, seat to seat",
    "shoulder_gap": "between the shoulders",
    "stud_room": "stud to tapped hole's bottom",
    "tap_end": "left over the tapped hole",
    "length": "finished rod",
    "cut_length": "rod as sawn",
}
"""By the names in a stack's ``numbers``."""

SLID: Final = ", sleeve slid away"
"""How the thread held in a standoff is reckoned: the sleeve touches the far pocket's floor."""
