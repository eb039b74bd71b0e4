"""The steps of the route as they stand in the book: what other chapters tell is named, nothing is asked twice."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from typing import Final

from bladegeom.fasteners.stack import lines_to_buy, stacks
from bladegeom.handle.scale_blank import blanks as slabs
from bladegeom.signoff.card_steps import goes_in
from bladegeom.workshop.heat_treat import DEFER
from bladegeom.workshop.operation import Number, Operation
from bladegeom.workshop.route import Route

LISTED: Final = "Slabs and hardware: as the chapter Handle lists them."

_MEASURED_AGAIN: Final = ("straighten", "temper", "heat_treat", "drill")
"""Steps in which the pitches are measured after hardening: the first of them that the route has."""

_OF_THE_WORK: Final = ("text", "C", "min")
"""Units of what tells how a step was done, and nothing of the knife."""

_EDGES: Final = ("edge thickness", "first edge thickness")
"""Measures that the blanks for the edge before sharpening tell."""


def bench_steps(work: Route) -> tuple[Operation, ...]:
    """All steps in working order.

    The pitches after hardening are asked for as soon as the blade may be handled again; on the finished knife nobody
    could measure them. What the drill card has a blank for is not asked for a second time.
    """
    return tuple(operation if operation in work.own_steps else _step(work, operation) for operation in work.operations)


def is_inspection(work: Route, step: Operation) -> bool:
    """Whether a step is the inspection, which is a chapter of its own."""
    return step.key == "inspect" and not any(own.key == step.key for own in work.own_steps)


def _step(work: Route, operation: Operation) -> Operation:
    tasks, blanks = operation.tasks, operation.blanks
    if operation.key == "inspect":
        tasks, blanks = (), ()
    elif operation.key == "dry_fit":
        listed = (*(f"{piece.words}." for piece in slabs(work.knife)), *lines_to_buy(stacks(work.knife)))
        tasks = (LISTED, *(text for text in tasks if text not in listed))
        blanks = tuple(blank for blank in blanks if blank.unit != "mm")
    elif operation.key == "heat_treat" and work.card is not None:
        told = goes_in(work.card)
        tasks = (f"{told[0].upper()}{told[1:]}.", *tasks)
    if operation.key == next((key for key in _MEASURED_AGAIN if key in work.keys), None):
        blanks = (*blanks, *(number for number in work.inspection if _is_grown_pitch(number)))
    # What is said of all numbers in the heat stands over the route, once.
    tasks = tuple(text for text in tasks if text != DEFER)
    return dataclasses.replace(operation, tasks=tasks, blanks=blanks)


def _is_grown_pitch(number: Number) -> bool:
    return number.what.startswith("pitch ") and number.what.endswith(", after hardening")


def written_at(work: Route) -> Iterator[tuple[Number, int | None]]:
    """Each line of the inspection, and the number of the step at which it is written down; None where at none."""
    steps = bench_steps(work)
    for number in work.inspection:
        found = (i for i, step in enumerate(steps, start=1) if _asks(step, number))
        yield number, next(found, None)


def written_besides(work: Route) -> Iterator[tuple[Number, int]]:
    """Blanks that tell of the hard blade and of what is made of it, in no line of the inspection, and their step."""
    steps = bench_steps(work)
    begun = next((i for i, step in enumerate(steps) if step.key == "heat_treat"), 0)
    for i, step in enumerate(steps[begun:], start=begun + 1):
        for blank in step.blanks:
            alone = dataclasses.replace(step, blanks=(blank,))
            if blank.unit not in _OF_THE_WORK and not any(_asks(alone, number) for number in work.inspection):
                yield blank, i


def _asks(step: Operation, number: Number) -> bool:
    """Whether a line of the inspection is written down at a step."""
    for blank in step.blanks:
        alike = blank.unit == number.unit and number.what in (blank.what, f"{blank.what} ({step.title})")
        if alike and blank.measure == number.measure:
            return True
        if number.measure and blank.measure == number.measure:
            return True
    return number.measure in _EDGES and step.key == "finish_grind" and bool(step.blanks)
