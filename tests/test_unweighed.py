"""A hidden tang without its handle block: every mass and balance says what it lacks, and no order is met by it."""

from __future__ import annotations

import dataclasses
from functools import cache
from typing import Any

import pytest
from orders import LOOK, asked, met, order

from bladegeom import (
    AngledBevel,
    Grind,
    Hole,
    Knife,
    Measured,
    Plunge,
    Stock,
    add_lightening_to,
    check,
    check_order,
    join_halves,
    landings,
    route,
)
from bladegeom.design.design import Design
from bladegeom.design.report import report
from bladegeom.drawing.drawing import Label, Sheet
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.stick_tang import StickTang
from bladegeom.profiles.swelled import Swelled
from bladegeom.quantities.errors import PlacingError
from bladegeom.quantities.papers import paper
from bladegeom.sheets.balance_pages import balance_pages
from bladegeom.sheets.blade_sheet import blade_pages
from bladegeom.sheets.sweep_chart import sweep_chart
from bladegeom.studies.difference import knife_difference
from bladegeom.studies.variant import Row, run_variant
from bladegeom.writers.proof_numbers import balance_changes, facts, masses
from bladegeom.writers.report_text import as_text
from bladegeom.writers.sweep_csv import SweepTable

STEPS = ("heat_treat", "surface")

LACKS = "without the handle block"


@cache
def made(handle: type[Any], *, blade_length: float = 110.0) -> Knife:
    outline = join_halves(DropPoint(blade_length=blade_length), handle())
    return Knife(
        name="Bare",
        outline=outline,
        stock=Stock(steel="1.4116", thickness=3.5),
        grind=Grind(bevel=AngledBevel(angle_deg=5.0, edge_thickness=0.4), plunge=Plunge(x=outline.heel[0])),
        holes=(Hole(x=-30.0, y=-12.0, diameter=2.0, purpose="lightening"),),
        balance="hunter",
    )


def stick(blade_length: float = 110.0) -> Knife:
    return made(StickTang, blade_length=blade_length)


@cache
def told(knife: Knife) -> dict[str, Any]:
    return report(Design(knife))


def words_on(sheets: tuple[Sheet, ...]) -> str:
    return "\n".join(item.text for sheet in sheets for item in sheet.drawing.items if isinstance(item, Label))


def test_the_report_says_what_its_numbers_lack() -> None:
    content = told(stick())
    assert content["total"]["unweighed"] == ["handle block"]
    assert content["levers"]
    assert all(row["unweighed"] == ["handle block"] for row in content["levers"])
    assert content["balance_band"]["miss"] is None
    lines = as_text(content).splitlines()
    for start in ("overall length", "what is weighed", "balance  ", "lightening holes", "  One more hole"):
        (line,) = (candidate for candidate in lines if candidate.startswith(start))
        assert line.rstrip(".").endswith(LACKS), line
    assert not any(line.startswith("whole knife") for line in lines)
    (found,) = (finding for finding in check(stick()) if finding.code == "block-unweighed")
    assert found.severity == "warning"
    (plain,) = (
        finding for finding in check(dataclasses.replace(stick(), balance=None)) if finding.code == "block-unweighed"
    )
    assert plain.severity == "note"


def test_nothing_is_lacking_on_a_full_tang() -> None:
    content = told(made(Swelled))
    assert content["total"]["unweighed"] == []
    assert content["balance_band"]["miss"] is not None
    assert LACKS not in as_text(content)
    assert "block-unweighed" not in [finding.code for finding in check(made(Swelled))]


def test_the_proof_says_so_beside_each_number() -> None:
    content = told(stick())
    for part in (facts, masses, balance_changes):
        words = repr(part(content))
        assert "handle block" in words
        assert "whole knife" not in words.lower()
        assert "handle block" not in repr(part(told(made(Swelled))))


def test_the_papers_say_so() -> None:
    (pages,) = blade_pages(Design(stick()), [paper("A4")])
    head = words_on(tuple(pages.sheets))
    assert "Knife without its handle block" in head
    marks = [line for line in head.splitlines() if line.startswith("balance")]
    assert len(marks) == 2
    assert all(line.endswith(LACKS) for line in marks)
    for sheet in balance_pages(Design(stick()), [paper("A4")])[:-1]:
        assert "WITHOUT the handle block" in words_on((sheet,))
    assert "WITHOUT" not in words_on(balance_pages(Design(made(Swelled)), [paper("A4")]))


def test_a_sweep_says_so_in_table_and_chart() -> None:
    rows = [run_variant(stick, {"blade_length": size}) for size in (100.0, 110.0)]
    table = SweepTable(names=("blade_length",), state="x")
    cells = dict(zip(table.columns, table.line(rows[0]).decode().strip().split(","), strict=True))
    assert cells["not weighed (parts)"] == "handle block"
    grid = {"blade_length": [100.0, 110.0]}
    chart = words_on((sweep_chart(grid, rows, name="Stick"),))
    assert f"mass, {LACKS}, g" in chart
    assert f"balance from the handle front at the spine, {LACKS}, mm" in chart
    whole = run_variant(lambda blade_length: made(Swelled, blade_length=blade_length), {"blade_length": 110.0})
    assert "mass, g" in words_on((sweep_chart(grid, [whole], name="Full"),))
    mixed = words_on((sweep_chart(grid, [rows[0], whole], name="Both"),))
    assert f"mass, {LACKS} on some, g" in mixed


def test_a_sweep_goes_on_where_it_was(tmp_path: Any) -> None:
    row = run_variant(stick, {"blade_length": 100.0})
    table = SweepTable(names=("blade_length",), state="x")
    path = tmp_path / "s.csv"
    path.write_bytes(table.head + table.line(row))
    ((again, _),) = table.rows_in(path, [{"blade_length": 100.0}])
    assert isinstance(again, Row)
    assert not isinstance(again.outcome, str)
    assert again.outcome.unweighed == ("handle block",)


@pytest.mark.parametrize("name", ["mass", "balance", "handle length", "overall length"])
def test_no_requirement_on_the_whole_knife_is_met_by_the_steel_alone(name: str) -> None:
    wanted = met(Measured(measure=name, low=-1000.0, high=1000.0))
    (landing,) = landings(wanted, stick(), STEPS)
    assert (landing.state, landing.code, landing.measured) == ("missed", "order-measure", None)
    assert "handle block" in landing.words
    assert [(finding.code, finding.severity) for finding in check_order(wanted, stick(), STEPS)] == [
        ("order-measure", "error")
    ]
    (full,) = landings(wanted, made(Swelled), STEPS)
    assert full.state == "met"
    (line,) = (number for number in route(stick(), wanted).inspection if number.measure == name)
    assert (line.value, line.low, line.high) == (None, -1000.0, 1000.0)
    assert "with its handle block" in line.note


def test_the_tang_that_was_ordered() -> None:
    for tang, knife, codes in (
        ("full", stick(), ["order-tang"]),
        ("hidden", stick(), []),
        ("full", made(Swelled), []),
        (None, stick(), []),
    ):
        found = check_order(order(asked(met=LOOK), tang=tang), knife, STEPS)
        assert [finding.code for finding in found] == codes
        assert all(finding.severity == "error" for finding in found)


def test_a_limit_on_the_overall_length_is_not_taken_as_kept() -> None:
    for limit, severities in ((300.0, ["warning"]), (200.0, ["error", "warning"])):
        wanted = order(length_limit=limit, length_measure="overall length")
        found = check_order(wanted, stick(), STEPS)
        assert [finding.severity for finding in found] == severities
        assert {finding.code for finding in found} == {"order-length"}


def test_no_holes_are_placed_for_a_balance_that_nobody_knows() -> None:
    for balance, mass in ((0.0, None), (None, 70.0)):
        with pytest.raises(PlacingError, match="handle block is no part of the design"):
            add_lightening_to(stick(), balance=balance, mass=mass)


def test_a_difference_says_so() -> None:
    changed = knife_difference(stick(), stick(120.0))
    for start in ("mass ", "balance "):
        (line,) = (change for change in changed if change.startswith(start))
        assert line.endswith(LACKS)
