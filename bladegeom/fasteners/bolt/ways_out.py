"""Ways out for a shouldered bolt, the least trouble first."""

from __future__ import annotations

from collections.abc import Iterator

from bladegeom.fasteners.bolt.declared import DeclaredBolt
from bladegeom.fasteners.bolt.numbers import BoltNumbers
from bladegeom.fasteners.hardware import New
from bladegeom.fasteners.stack_fix import down, possible, up
from bladegeom.quantities.units import show_length

_WORDS = {
    "head_left": ("sink the counterbores", "deeper", "less deep"),
    "shoulder_length": ("take the shoulders", "longer", "shorter"),
    "stud_length": ("take the stud", "longer", "shorter"),
    "head_height": ("take the heads", "higher", "lower"),
}


def other_lengths(stack: BoltNumbers) -> Iterator[New]:
    """One dimension more or less by what is missing."""
    missing = sorted({limit.missing for limit in stack.limits if limit.severity})
    for by in (sign * part * gap for gap in missing for part in (1.0, 0.5) for sign in (1.0, -1.0)):
        for name in _WORDS:
            new = {name: (up if by > 0 else down)(getattr(stack.hardware, name) + by)}
            if possible(stack, new):
                yield new


def another_bolt(stack: BoltNumbers) -> Iterator[New]:
    """Another bolt: so much of the head, shoulders that end short of each other, a stud that bridges the gap."""
    bolt, rules = stack.hardware, stack.layers.knife.handle_rules
    stray = stack.head_left.nominal - stack.head_left.low
    over = stack.surface[1].nominal - stack.surface[0].nominal
    least = up(rules.head_left + stray)
    most = down(stack.surface[0].nominal - rules.floor - (stack.floor.nominal - stack.floor.low))
    left = max(min(bolt.head_left, most), least)
    height = max(bolt.head_height, up(left + over + stack.head_cover.nominal - stack.head_cover.low))
    at = stack.tried({"head_left": left, "head_height": height})
    shoulder = down((at.grip.nominal - (at.stud_room.nominal - at.stud_room.low)) / 2)
    gap = at.grip.nominal - 2 * shoulder
    thread = rules.engagement(bolt.screw, bolt.tapped_metal)
    stud = up(thread + gap + at.engagement.nominal - at.engagement.low)
    new = {"head_left": left, "head_height": height, "shoulder_length": shoulder, "stud_length": stud}
    if possible(stack, new):
        yield new


def bolt_words(bolt: DeclaredBolt, new: New) -> str:
    """As "take the shoulders 0.30 mm (0.012 in) shorter (shoulder_length=9.7)"."""
    parts = []
    for name, (do, more, less) in _WORDS.items():
        by = new.get(name, getattr(bolt, name)) - getattr(bolt, name)
        if by:
            parts.append(f"{do} {show_length(abs(by))} {more if by > 0 else less} ({name}={new[name]:g})")
    return " and ".join(parts)
