"""What the block of a step shows: its large numbers, those that a blank tells, its cautions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from bladegeom.book.like_numbers import LikeNumbers, by_place, starred
from bladegeom.book.step_words import StepWords
from bladegeom.drawing.drawing import Drawing
from bladegeom.workshop.operation import Operation

_LARGEST: Final = 3
"""Numbers of a step that stand large, at most."""

_LARGE: Final[dict[str, tuple[str, ...]]] = {
    "heat_treat": ("hardening temperature", "as quenched"),
    "temper": ("temper at",),
    "sheath": (),
    "cut": ("overall length", "stock, thickness"),
}
"""Which numbers are worked to, of steps that tell others before them or besides."""


@dataclass(frozen=True)
class StepParts:
    """What the block of a step shows.

    Args:
        operation: The step.
        picture: Of what is meant; None has none.
        told: Cautions that stand in full at an earlier step, and at which.
    """

    operation: Operation
    picture: Drawing | None
    told: Mapping[str, int]

    @property
    def cautions(self) -> str:
        """In full, but for those that stand in full at an earlier step: that one is named."""
        texts = [text for text in self.operation.cautions if text not in self.told]
        above = sorted({self.told[text] for text in self.operation.cautions if text in self.told})
        if above:
            steps = " and ".join(str(number) for number in above)
            texts.append(f"{'And as' if texts else 'As'} at step{'s' if len(above) > 1 else ''} {steps}.")
        return starred(" ".join(texts))

    @cached_property
    def words(self) -> StepWords:
        """What it says beside each number."""
        return StepWords.of(self.operation)

    @cached_property
    def numbers(self) -> tuple[LikeNumbers, ...]:
        """To be read: those that a blank does not tell as well."""
        asked = {(blank.what, blank.text) for blank in self.operation.blanks}
        return tuple(by_place([each for each in self.operation.numbers if (each.what, each.text) not in asked]))

    @cached_property
    def large(self) -> tuple[LikeNumbers, ...]:
        """Numbers that are worked to."""
        names = _LARGE.get(self.operation.key)
        able = [group for group in self.numbers if group.value]
        if names is not None:
            return tuple(group for group in able if group.what in names)
        return tuple(able[:_LARGEST])

    @cached_property
    def small(self) -> tuple[LikeNumbers, ...]:
        """The others, but for a size or a mass that a task tells."""
        large, tasks = {id(group.first) for group in self.large}, " ".join(self.operation.tasks)
        return tuple(
            group
            for group in self.numbers
            if id(group.first) not in large
            and not ((group.first.room or group.first.unit == "g") and group.first.text and group.first.text in tasks)
        )

    @cached_property
    def blanks(self) -> tuple[LikeNumbers, ...]:
        """To be filled in."""
        return tuple(by_place(self.operation.blanks))
