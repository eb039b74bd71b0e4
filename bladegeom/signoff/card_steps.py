"""The steps of the route as parts of the job card: what to do, numbers, waits, cautions, blanks, a signature."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from bladegeom.mass.unweighed import unweighed, without_words
from bladegeom.quantities.units import show_length
from bladegeom.signoff.card_table import Cell, Column, Mark, Part, Table
from bladegeom.workshop.heat_treat import DEFER
from bladegeom.workshop.operation import Number, Operation
from bladegeom.workshop.route import Route

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


def route_part(work: Route) -> Part:
    """All steps in working order."""
    x0, _, x1, _ = work.knife.outline.bounds
    stock = work.knife.stock
    findings = tuple(f"{one.severity}: {one.message}" for one in work.findings)
    dropped = tuple(f"not done: {one.title} ({one.key}){f': {why}' if why else ''}" for one, why in work.dropped)
    return Part(
        key="route",
        title="The route",
        lines=(
            f"{stock.metal_word}: {stock.material.name}, {show_length(stock.thickness)} thick; "
            f"overall length {show_length(float(x1 - x0))}{without_words(unweighed(work.knife))}",
            *findings,
            *dropped,
        ),
        tables=tuple(_in_route(i, one) for i, one in enumerate(work.operations, start=1)),
        drawn=True,
    )


def heat_part(work: Route) -> tuple[Part, ...]:
    """The heat-treat card, for a blade that is hardened."""
    steps = [(i, one) for i, one in enumerate(work.operations, start=1) if one.key in _HOT]
    if not steps:
        return ()
    tables = tuple(_table(f"{i}. {one.title}", _step(one)) for i, one in steps)
    stock = work.knife.stock
    told: tuple[str, ...] = ()
    if (card := work.card) is not None:
        told = (
            f"goes in as {'a blank' if card.stage == 'blank' else 'rough ground'}: {show_length(card.length)} by "
            f"{show_length(card.height)}, {Number(what='mass', unit='g', value=1000 * card.mass_kg).text}",
        )
    steel = f"steel: {stock.material.name}, {show_length(stock.thickness)} thick"
    return (Part(key="heat", title="Heat-treat card", lines=(steel, *told, DEFER), tables=tables),)


def inspection_part(work: Route) -> Part:
    """Every line of the inspection."""
    rows = tuple(
        (one.what, "; ".join(t for t in (one.note, one.source) if t), one.text, one.limits, _blank(one), Mark.BLANK)
        for one in work.inspection
    )
    lines = ("A line outside its limits is told to the customer before the knife leaves.",)
    return Part(
        key="inspection",
        title="Inspection",
        lines=lines,
        tables=(Table(title="Measured on the finished knife, and carried over", columns=_LINE, rows=rows),),
    )


def _in_route(i: int, one: Operation) -> Table:
    elsewhere = {**dict.fromkeys(_HOT, "the heat-treat card"), "inspect": "the inspection list"}.get(one.key)
    if elsewhere is None:
        return _table(f"{i}. {one.title}", _step(one))
    rows = (_text("do", f"As {elsewhere} says.", tick=True), *_finish(one), *_cautions(one), _SIGNED)
    return _table(f"{i}. {one.title}", rows)


def _table(title: str, rows: Sequence[tuple[Cell, ...]]) -> Table:
    return Table(title=title, columns=_STEP, rows=tuple(rows))


def _step(one: Operation) -> tuple[tuple[Cell, ...], ...]:
    cards = (_text("do", f"Rows of the drill card for this step: {len(one.rows)}.", tick=True),) if one.rows else ()
    return (
        *_cautions(one),
        *(_text("do", text, tick=True) for text in one.tasks),
        *cards,
        *_finish(one),
        *(_number("number", number) for number in one.numbers),
        *(_number("wait", number) for number in one.waits),
        *_blanks(one.blanks),
        _SIGNED,
    )


def _finish(one: Operation) -> Iterator[tuple[Cell, ...]]:
    """What the order asks of a step."""
    if one.finish:
        yield _text("ORDER", one.finish, tick=True)


def _cautions(one: Operation) -> Iterator[tuple[Cell, ...]]:
    for text in one.cautions:
        yield _text("CAUTION", text)


def _text(kind: str, text: str, *, tick: bool = False) -> tuple[Cell, ...]:
    return (kind, text, "", "", "", Mark.TICK if tick else "", "")


def _number(kind: str, one: Number) -> tuple[Cell, ...]:
    return (kind, _named(one), one.text, one.limits, "", "", "")


def _blanks(blanks: Sequence[Number]) -> Iterator[tuple[Cell, ...]]:
    for one in blanks:
        yield ("write", _named(one), one.text, one.limits, _blank(one), "", "")


def _blank(one: Number) -> Cell:
    return "yes / no" if one.unit == "yes/no" else Mark.BLANK


def _named(one: Number) -> str:
    """A number with how it is measured, its unit where nothing else tells it, and its source."""
    unit = f", {one.unit}" if not one.text and not one.limits and one.unit not in ("yes/no", "text", "count") else ""
    told = "; ".join(text for text in (one.note, one.source) if text)
    return f"{one.what}{unit}{f' ({told})' if told else ''}"
