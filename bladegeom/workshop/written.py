"""Where in the route each line of the inspection is written down, and what else the route says of the knife."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.workshop.operation import Number, Operation
from bladegeom.workshop.route import Route

_OF_THE_WORK: Final = ("text", "C", "min")
"""Units of what tells how a step was done, and nothing of the knife."""

_EDGES: Final = ("edge thickness", "first edge thickness")
"""Measures that the blanks for the edge before sharpening tell."""


def written_at(work: Route, steps: Sequence[Operation]) -> Iterator[tuple[Number, int | None]]:
    """Each line of the inspection, and the number of the step at which it is written down; None where at none.

    Args:
        work: The route.
        steps: Of it, as they are told; the inspection is none that asks.
    """
    asking = _asking(work, steps)
    for number in work.inspection:
        found = (i for i, step in enumerate(asking, start=1) if _asks(step, number))
        yield number, next(found, None)


def written_besides(work: Route, steps: Sequence[Operation]) -> Iterator[tuple[Number, int]]:
    """Blanks that tell of the hard blade and of what is made of it, in no line of the inspection, and their step."""
    asking = _asking(work, steps)
    begun = next((i for i, step in enumerate(asking) if step.key == "heat_treat"), 0)
    for i, step in enumerate(asking[begun:], start=begun + 1):
        for blank in step.blanks:
            alone = dataclasses.replace(step, blanks=(blank,))
            if blank.unit not in _OF_THE_WORK and not any(_asks(alone, number) for number in work.inspection):
                yield blank, i


def is_inspection(work: Route, step: Operation) -> bool:
    """Whether a step is the inspection, and none of the maker's own that is called so."""
    return step.key == "inspect" and not any(own.key == step.key for own in work.own_steps)


def _asking(work: Route, steps: Sequence[Operation]) -> tuple[Operation, ...]:
    return tuple(dataclasses.replace(step, blanks=()) if is_inspection(work, step) else step for step in steps)


def _asks(step: Operation, number: Number) -> bool:
    """Whether a line of the inspection is written down at a step."""
    for blank in step.blanks:
        alike = blank.unit == number.unit and number.what in (blank.what, f"{blank.what} ({step.title})")
        if alike and blank.measure == number.measure:
            return True
        if number.measure and blank.measure == number.measure:
            return True
    return number.measure in _EDGES and step.key == "finish_grind" and bool(step.blanks)
