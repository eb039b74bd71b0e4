"""The route: every step that a design needs, in working order, with its numbers, cautions and blanks."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Annotated, Final

from bladegeom.drilling.card import drill_card
from bladegeom.drilling.row import CardRow
from bladegeom.grinding.grind_sheet import GrindSheet, grind_sheet
from bladegeom.knife.finding import Findings
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import rules_in
from bladegeom.mass.weigh import weigh
from bladegeom.order.order import Order
from bladegeom.order.ordered import finishes, hardness
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import UnknownNameError
from bladegeom.quantities.field_rules import Like
from bladegeom.quantities.steel_treatments import is_treated
from bladegeom.workshop.blade_work import (
    etch_step,
    finish_step,
    is_struck,
    made_words,
    mark_step,
    marks_of,
    sharpen_step,
    surface_step,
)
from bladegeom.workshop.handle_work import handle_steps
from bladegeom.workshop.heat_treat import HeatTreatCard, heat_treat_card
from bladegeom.workshop.heat_work import heat_steps
from bladegeom.workshop.inspection import carried_over, inspect_step, inspection
from bladegeom.workshop.operation import Number, Operation
from bladegeom.workshop.pitches import is_grown_pitch
from bladegeom.workshop.sheath_work import sheath_step
from bladegeom.workshop.soft_work import cut_step, drill_step, rough_step, template_step
from bladegeom.workshop.steps import AddStep, DropStep, StepChange, changed
from bladegeom.workshop.work import Work

_MEASURED_AGAIN: Final = ("straighten", "temper", "heat_treat", "drill")
"""Steps in which the pitches are measured after hardening: the first of them that the route has."""


@dataclass(frozen=True, eq=False)
class Route:
    """The work on one knife.

    Args:
        knife: The design.
        order: Of the customer; None takes the design alone.
        work: What the maker has settled, as declared.
        steps: What the maker changes in the order of work.

    >>> from bladegeom import route
    >>> work = route(knife)
    >>> work.operation("drill").title
    'Drill the steel'
    >>> work.hardened
    True
    """

    knife: Knife
    order: Order | None
    work: Work
    steps: tuple[StepChange, ...]

    @cached_property
    def hardened(self) -> bool:
        """Whether the blade is of a steel, which goes through hardening; another metal is not, nor what is all hole."""
        return self.knife.stock.hardens and weigh(self.knife).blank.amount > 0

    @cached_property
    def settled(self) -> Work:
        """What the maker has settled; where that leaves the hardness open, the order's."""
        work = self.work
        return work if work.hardness is not None else dataclasses.replace(work, hardness=hardness(self.order))

    @cached_property
    def card(self) -> HeatTreatCard | None:
        """The heat-treat card; None of a metal that is not hardened, and of a steel without rows."""
        known = self.work.treatment is not None or is_treated(self.knife.stock.material.name)
        return heat_treat_card(self.knife, self.settled) if self.hardened and known else None

    @cached_property
    def derived(self) -> tuple[Operation, ...]:
        """What the design and the order need, in the usual order."""
        return tuple(self._with_finish(operation) for operation in self._derived())

    @cached_property
    def operations(self) -> tuple[Operation, ...]:
        """All steps in working order, after the maker's changes.

        The pitches after hardening are asked for as soon as the blade may be handled again; on the finished knife
        nobody could measure them.
        """
        steps = tuple(self._with_finish(operation) for operation in changed(self.derived, self.steps))
        keys = [operation.key for operation in steps]
        again = next((key for key in _MEASURED_AGAIN if key in keys), None)
        grown = tuple(number for number in self.inspection if is_grown_pitch(number))
        return tuple(
            dataclasses.replace(step, blanks=(*step.blanks, *grown)) if step.key == again and grown else step
            for step in steps
        )

    @property
    def keys(self) -> tuple[str, ...]:
        """Of all steps, in working order."""
        return tuple(operation.key for operation in self.operations)

    def operation(self, key: str) -> Operation:
        """The step of that key.

        Raises:
            UnknownNameError: There is none.
        """
        found = next((operation for operation in self.operations if operation.key == key), None)
        if found is None:
            raise UnknownNameError("step of the work", key, self.keys)
        return found

    @property
    def dropped(self) -> tuple[tuple[Operation, str], ...]:
        """Steps of the derived route that are not done, and why."""
        whys = {change.key: change.why for change in self.steps if isinstance(change, DropStep)}
        return tuple(
            (operation, whys.get(operation.key, "")) for operation in self.derived if operation.key not in self.keys
        )

    @cached_property
    def inspection(self) -> tuple[Number, ...]:
        """The lines of the inspection, whether or not a step for it is left."""
        return (
            *inspection(self.knife, self._sheet, self.order, self.card, hardened=self.hardened),
            *carried_over(self.own_steps),
        )

    @cached_property
    def findings(self) -> Findings:
        """What is wrong with the order of work, and what cannot be told; errors first."""
        found = (finding for look in rules_in("bladegeom.workshop") for finding in look(self))
        return Findings.ranked(found)

    @property
    def own_steps(self) -> tuple[Operation, ...]:
        """Steps that the maker adds."""
        dropped = {change.key for change in self.steps if isinstance(change, DropStep)}
        added = (change.operation for change in self.steps if isinstance(change, AddStep))
        return tuple(operation for operation in added if operation.key not in dropped)

    @cached_property
    def _sheet(self) -> GrindSheet:
        return grind_sheet(self.knife)

    @cached_property
    def _rows(self) -> tuple[CardRow, ...]:
        return drill_card(self.knife).steps

    def _derived(self) -> Iterator[Operation]:
        knife, sheet, rows = self.knife, self._sheet, self._rows
        soft = tuple(row for row in rows if row.phase == "before hardening")
        tried = tuple(row for row in rows if row.phase == "after hardening" and row.part == "tang")
        handle = tuple(row for row in rows if row.phase == "after hardening" and row.part != "tang")
        yield template_step(knife)
        yield cut_step(knife)
        if knife.openings:
            yield drill_step(knife, soft)
        marks, struck = marks_of(knife), self.hardened and is_struck(self._marking)
        if marks and struck:
            yield mark_step(marks, self.work, soft=True)
        if knife.grind.rough_edge is not None:
            yield rough_step(sheet, knife.grind.rough_edge)
        if self.hardened:
            yield from heat_steps(self.card, knife.stock.material.name)
        yield finish_step(sheet, tried, hardened=self.hardened)
        yield surface_step(knife, self.work)
        if marks and not struck:
            yield mark_step(marks, self.work)
        if self.work.etch or finishes(self.order, "etch"):
            yield etch_step(knife, self.work.etch)
        yield from handle_steps(knife, handle, self.work)
        if self.order is not None and self.order.sheath is not None:
            yield sheath_step(knife, self.order.sheath)
        yield sharpen_step(sheet)
        yield inspect_step(self.inspection)

    @property
    def _marking(self) -> str:
        """How the marks are made, as the maker settles it, in the work or at their fields, else as the order asks."""
        told = "; ".join(filter(None, map(made_words, marks_of(self.knife))))
        return self.work.mark or told or "; ".join(finishes(self.order, "mark"))

    def _with_finish(self, operation: Operation) -> Operation:
        """With what the order asks of it; asked for, it cannot be dropped."""
        asked = [text for text in finishes(self.order, operation.key) if text not in operation.finish]
        if not asked:
            return operation
        finish = "; ".join((*((operation.finish,) if operation.finish else ()), *asked))
        return dataclasses.replace(operation, finish=finish, need=operation.need or "the order asks a finish of it")


_Changes = Annotated[tuple[StepChange, ...], Like('(DropStep(key="template"),), with its comma')]


def route(
    knife: Knife, order: Order | None = None, *, work: Work | None = None, steps: Sequence[StepChange] = ()
) -> Route:
    """The work on a knife, derived from its design and the order.

    Args:
        knife: The design.
        order: Its finishes go to the steps that they name, its hardness to the temper, its limits to the inspection.
        work: What the maker has settled; the maker's own hardness comes before the order's.
        steps: ``AddStep``, ``MoveStep`` and ``DropStep``, one after the other.

    Raises:
        UnknownNameError: A change names a step that is not there.
        ParameterError: No knife, a key given twice, or a treatment for another steel.

    >>> [step.key for step in route(knife).operations][:4]
    ['template', 'cut', 'drill', 'heat_treat']
    """
    checked("route: knife", knife, Knife)
    checked("route: order", order, Order | None)
    checked("route: work", work, Work | None)
    checked("route: steps", steps, _Changes)
    made = Route(knife, order, Work() if work is None else work, tuple(steps))
    made.operations  # noqa: B018  # a wrong change is told here and not when the card is printed
    return made
