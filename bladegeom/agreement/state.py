"""The state of a design as plain tables, texts and numbers: what is kept of it with an agreement, and compared later.

A declared value is a table of its fields, with the name of its class under ``is``. Of what a customer never sees, and
is more than a word or a number, a checksum is kept.
"""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from bladegeom.agreement.agreed import Table
from bladegeom.agreement.sights import shown_fields, sight_of
from bladegeom.curves.curve import Curve
from bladegeom.fasteners.stack import stacks
from bladegeom.knife.hole import Hole, Slot
from bladegeom.knife.knife import Knife
from bladegeom.knife.revision_id import checksum
from bladegeom.mass.weigh import weigh
from bladegeom.order.order import Order
from bladegeom.order.order_ways import Finish
from bladegeom.outline.halves import has_hidden_tang
from bladegeom.outline.outline import Outline
from bladegeom.workshop.operation import Operation
from bladegeom.workshop.steps import AddStep, StepChange
from bladegeom.workshop.work import Work

IS: Final = "is"
LINE: Final = "points"
COVERED: Final = "covered"
OPEN_RING: Final = "open_ring"
"""Keys of a table besides the fields: its class; the control points of a line; whether the handle hides it; the width
of what stays open round a fastener where it comes out."""

WISHED: Final = "wished"
"""Key of the steps of the maker's own by which wishes are met."""

MARKED: Final = "checksum "
"""A text that begins so stands for something that no customer sees."""

_DIGITS: Final = 6
"""Decimals that are kept: a millionth of a millimetre, far below what counts."""

_TOLD: Final = {"source", "confidence", "note", "also", "composition"}
"""Fields of a table's row that say where it comes from, or what else it is called."""


@dataclass(frozen=True, kw_only=True)
class Felt:
    """What is told of the whole knife, mm and g; no length over all where the handle is no part of the design."""

    blade_length: float
    overall_length: float | None
    mass: float
    balance: float


def state_of(knife: Knife, order: Order | None, work: Work | None, steps: Sequence[StepChange]) -> Table:
    """All that is kept of a design.

    Args:
        knife: What is declared.
        order: That it is made for.
        work: What is settled of the work; None has settled nothing, which is no other than a Work() without a word.
        steps: What is changed in the order of work.
    """
    state: Table = {"felt": table_of(_felt(knife)), "knife": _knife(knife)}
    if order is not None:
        state["order"] = table_of(order)
    wished = [] if order is None else _wished(order, steps)
    return state | {"work": table_of(work or Work()), "steps": checksum(tuple(steps)), WISHED: wished}


def _wished(order: Order, steps: Sequence[StepChange]) -> list[Table]:
    """Of the maker's own steps by which a wish is met, what shows of them."""
    named = {way.operation for wish in order.requirements for way in wish.ways if isinstance(way, Finish)}
    own = [change.operation for change in steps if isinstance(change, AddStep) and change.operation.key in named]
    shown = {"key", *(row.field for row in shown_fields(Operation.__name__))}
    return [{name: kept for name, kept in table_of(step).items() if name in {IS, *shown}} for step in own]


def table_of(value: Any) -> Table:
    """A declared value as a table; fields that are None are left out."""
    kind = type(value).__name__
    table: Table = {IS: kind}
    for field in dataclasses.fields(value):
        if (content := getattr(value, field.name)) is not None and not _is_told(value, field.name):
            table[field.name] = _kept(content, is_hidden=sight_of(kind, field.name).shows == "unseen")
    return table


def _is_told(value: Any, name: str) -> bool:
    """Whether a field says only where a value of a table comes from."""
    return name in _TOLD and hasattr(value, "confidence")


def _knife(knife: Knife) -> Table:
    """With what the handle covers."""
    table = table_of(knife)
    table["outline"][COVERED] = has_hidden_tang(knife.outline.profiles)
    for hole, kept in zip(knife.holes, table["holes"], strict=True):
        kept[COVERED] = _is_covered(knife, hole)
    for stack, kept in zip(stacks(knife), table["fasteners"], strict=True):
        kept[OPEN_RING] = _kept(stack.open_ring, is_hidden=False)
    return table


def _is_covered(knife: Knife, hole: Hole | Slot) -> bool:
    """Whether scales, or a block that the tang hides in, lie over a hole; a lanyard's goes through them."""
    if hole.purpose == "lanyard" or (knife.scales is None and not has_hidden_tang(knife.outline.profiles)):
        return False
    front = min(knife.handle_front.start[0], knife.handle_front.end[0])
    return bool(hole.axis[:, 0].max() + hole.diameter / 2 <= front)


def _felt(knife: Knife) -> Felt:
    weighing = weigh(knife)
    x0, _, x1, _ = knife.outline.bounds
    return Felt(
        blade_length=knife.outline.tip[0],
        overall_length=None if has_hidden_tang(knife.outline.profiles) else x1 - x0,
        mass=weighing.total.amount,
        balance=weighing.balance_from_front,
    )


def _kept(value: Any, *, is_hidden: bool) -> Any:
    if isinstance(value, str | bool | int | datetime.date):
        return value
    if isinstance(value, float):
        return round(value, _DIGITS) + 0.0
    if is_hidden:
        return MARKED + checksum(value)
    if isinstance(value, Curve):
        points = np.vstack((value.pieces[:, :3].reshape(-1, 2), value.pieces[-1:, 3])).round(_DIGITS) + 0.0
        return {IS: "Curve", LINE: points.tolist()}
    if isinstance(value, tuple | list):
        return [_kept(entry, is_hidden=False) for entry in value]
    if dataclasses.is_dataclass(value):
        return table_of(value)
    return MARKED + checksum(value)


def is_line(value: object) -> bool:
    """Whether a kept value is a line."""
    return isinstance(value, dict) and value.get(IS) == Curve.__name__


def line_of(value: Table) -> Curve:
    """The line that is kept.

    Raises:
        CurveError: Its points make none.
    """
    points = np.array(value[LINE], dtype=np.float64)
    return Curve(np.stack([points[i : len(points) - 3 + i : 3] for i in range(4)], axis=1))


OUTLINE: Final = Outline.__name__
"""The class of the table whose lines are looked at together."""
