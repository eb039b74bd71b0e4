"""The steps of the route as they stand in the book: what other chapters tell is named, nothing is asked twice."""

from __future__ import annotations

import dataclasses
from typing import Final

from bladegeom.fasteners.stack import lines_to_buy, stacks
from bladegeom.handle.scale_blank import blanks as slabs
from bladegeom.signoff.card_steps import goes_in
from bladegeom.workshop.heat_treat import DEFER
from bladegeom.workshop.operation import Operation
from bladegeom.workshop.route import Route

LISTED: Final = "Slabs and hardware: as the chapter Handle lists them."


def bench_steps(work: Route) -> tuple[Operation, ...]:
    """All steps in working order.

    What the drill card has a blank for is not asked for a second time.
    """
    return tuple(operation if operation in work.own_steps else _step(work, operation) for operation in work.operations)


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
    # What is said of all numbers in the heat stands over the route, once.
    tasks = tuple(text for text in tasks if text != DEFER)
    return dataclasses.replace(operation, tasks=tasks, blanks=blanks)
