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

_EDGES: Final = ("edge thickness", "first edge thickness")
"""Measures that the blanks for the edge before sharpening tell."""


def bench_steps(work: Route) -> tuple[Operation, ...]:
    """All steps in working order.

    The pitches after hardening stand under those before it; they cannot be measured any more on the finished knife.
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
    elif operation.key == "drill":
        blanks = (*blanks, *(number for number in work.inspection if _is_grown_pitch(number)))
    elif operation.key == "heat_treat" and work.card is not None:
        told = goes_in(work.card)
        tasks = (f"{told[0].upper()}{told[1:]}.", *tasks)
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


def _asks(step: Operation, number: Number) -> bool:
    """Whether a line of the inspection is written down at a step."""
    for blank in step.blanks:
        alike = blank.unit == number.unit and number.what in (blank.what, f"{blank.what} ({step.title})")
        if alike and blank.measure == number.measure:
            return True
        if number.measure and blank.measure == number.measure:
            return True
    return number.measure in _EDGES and step.key == "finish_grind" and bool(step.blanks)
