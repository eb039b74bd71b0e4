"""The steps of the route as parts of the job card: what to do, numbers, waits, cautions, blanks, a signature."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.drilling.row import rows_named
from bladegeom.mass.unweighed import unweighed, without_words
from bladegeom.quantities.balance_bands import DATUM
from bladegeom.quantities.shown import rule_length, scale_mass, sold_thickness
from bladegeom.quantities.unit_order import first_unit
from bladegeom.signoff.card_table import CardPart, Cell, Column, Mark, Table
from bladegeom.workshop.heat_treat import DEFER, HeatTreatCard
from bladegeom.workshop.inspection import OPEN
from bladegeom.workshop.operation import Number, Operation
from bladegeom.workshop.route import Route
from bladegeom.workshop.written import written_at, written_besides

_STEP: Final = (
    Column(name="", share=0.08, strong=True),
    Column(name="what", share=0.37),
    Column(name="as designed", share=0.14),
    Column(name="limits", share=0.2),
    Column(name="as made", share=0.1),
    Column(name="done", share=0.04),
    Column(name="initials", share=0.07),
)

_LINE: Final = (
    Column(name="what", share=0.25, strong=True),
    Column(name="how", share=0.22),
    Column(name="nominal", share=0.13),
    Column(name="limits", share=0.2),
    Column(name="measured", share=0.12),
    Column(name="initials", share=0.08),
)

_HOT: Final = ("heat_treat", "temper", "straighten")
"""Steps that stand on the heat-treat card in full, which may go out with the blade alone."""

_SIGNED: Final[tuple[Cell, ...]] = ("sign", "finished on, hours taken", Mark.BLANK, "", "", Mark.TICK, Mark.BLANK)


def route_part(work: Route) -> CardPart:
    """All steps in working order."""
    x0, _, x1, _ = work.knife.outline.bounds
    stock = work.knife.stock
    findings = tuple(f"{finding.severity}: {finding.message}" for finding in work.findings)
    dropped = tuple(
        f"not done: {operation.title} ({operation.key}){f': {why}' if why else ''}" for operation, why in work.dropped
    )
    return CardPart(
        key="route",
        title="The route",
        lines=(
            f"{stock.metal_word}: {stock.material.name}, {sold_thickness(stock.thickness)} thick; "
            f"overall length {rule_length(float(x1 - x0))}{without_words(unweighed(work.knife))}; "
            f"x and y from {DATUM}, in mm where no unit stands",
            *findings,
            *dropped,
        ),
        tables=tuple(_in_route(i, operation) for i, operation in enumerate(work.operations, start=1)),
        drawn=True,
    )


def heat_part(work: Route) -> tuple[CardPart, ...]:
    """The heat-treat card, for a blade that is hardened."""
    steps = [(i, operation) for i, operation in enumerate(work.operations, start=1) if operation.key in _HOT]
    if not steps:
        return ()
    tables = tuple(_table(f"{i}. {step.title}", _step(step)) for i, step in steps)
    stock = work.knife.stock
    told = () if work.card is None else (goes_in(work.card),)
    steel = f"steel: {stock.material.name}, {sold_thickness(stock.thickness)} thick"
    return (CardPart(key="heat", title="Heat-treat card", lines=(steel, *told, DEFER), tables=tables),)


def goes_in(card: HeatTreatCard) -> str:
    """How the steel goes to hardening: state, size, mass."""
    return (
        f"goes in as {'a blank' if card.stage == 'blank' else 'rough ground'}: {rule_length(card.length)} by "
        f"{rule_length(card.height)}, {scale_mass(1000 * card.mass_kg)}"
    )


def inspection_part(work: Route) -> CardPart:
    """Every line of the inspection; what a step has written down of the knife is told with that step."""
    lines = tuple(_inspected(number, step) for number, step in written_at(work, work.operations))
    besides = tuple(_inspected(number, step) for number, step in written_besides(work, work.operations))
    return CardPart(
        key="inspection",
        title="Inspection",
        lines=("A line outside its limits is told to the customer before the knife leaves.", *_which(work)),
        tables=(
            Table(title="Measured on the finished knife, or written in the route", columns=_LINE, rows=lines + besides),
        ),
    )


def _inspected(number: Number, step: int | None) -> tuple[Cell, ...]:
    how = "; ".join(text for text in (number.note, number.source) if text)
    if step is not None:
        return (number.what, how, number.text, number.limits, f"step {step}", "")
    open_words = OPEN if number.text else ""
    return (number.what, how, number.text, number.limits or open_words, _blank(number), Mark.BLANK)


def _which(work: Route) -> Iterator[str]:
    """Of several knives of an order, which one is inspected."""
    if work.order is not None and work.order.quantity > 1:
        yield f"knife ____ of {work.order.quantity}"


def _in_route(i: int, operation: Operation) -> Table:
    elsewhere = {**dict.fromkeys(_HOT, "the heat-treat card"), "inspect": "the inspection list"}.get(operation.key)
    if elsewhere is None:
        return _table(f"{i}. {operation.title}", _step(operation))
    rows = (_text("do", f"As {elsewhere} says.", tick=True), *_finish(operation), *_cautions(operation), _SIGNED)
    return _table(f"{i}. {operation.title}", rows)


def _table(title: str, rows: Sequence[tuple[Cell, ...]]) -> Table:
    return Table(title=title, columns=_STEP, rows=tuple(rows))


def _step(operation: Operation) -> tuple[tuple[Cell, ...], ...]:
    cards = (_text("do", f"By the drill card: {rows_named(operation.rows)}.", tick=True),) if operation.rows else ()
    return (
        *_cautions(operation),
        *(_number("wait first", number) for number in operation.rests),
        *(_number("within", number) for number in operation.within),
        *(_text("do", text, tick=True) for text in operation.tasks),
        *cards,
        *_finish(operation),
        *(_number("number", number) for number in operation.numbers),
        *(_number("wait", number) for number in operation.waits),
        *_blanks(operation.blanks),
        _SIGNED,
    )


def _finish(operation: Operation) -> Iterator[tuple[Cell, ...]]:
    """What the order asks of a step."""
    if operation.finish:
        yield _text("ORDER", operation.finish, tick=True)


def _cautions(operation: Operation) -> Iterator[tuple[Cell, ...]]:
    for text in operation.cautions:
        yield _text("CAUTION", text)


def _text(kind: str, text: str, *, tick: bool = False) -> tuple[Cell, ...]:
    return (kind, text, "", "", "", Mark.TICK if tick else "", "")


def _number(kind: str, number: Number) -> tuple[Cell, ...]:
    return (kind, _named(number), number.text, number.limits, "", "", "")


def _blanks(blanks: Sequence[Number]) -> Iterator[tuple[Cell, ...]]:
    for blank in blanks:
        yield ("write", _named(blank), blank.text, blank.limits, _blank(blank), "", "")


def _blank(number: Number) -> Cell:
    return "yes / no" if number.unit == "yes/no" else Mark.BLANK


def _named(number: Number) -> str:
    """A number with how it is measured, its unit where nothing else tells it, and its source."""
    told_elsewhere = number.text or number.limits or number.unit in ("yes/no", "text", "count")
    unit = "" if told_elsewhere else f", {first_unit() if number.unit == 'mm' else number.unit}"
    told = "; ".join(text for text in (number.note, number.source) if text)
    return f"{number.what}{unit}{f' ({told})' if told else ''}"
