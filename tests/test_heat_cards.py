"""The heat-treat card of every steel of the table, held against rules of the bench; and of those that have no rows."""

from __future__ import annotations

import dataclasses
from functools import cache

import pytest
import specimens
from refusals import assert_refused

from bladegeom.knife.hole import Hole
from bladegeom.knife.knife import Knife
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.heat_treatments import HeatTreatment
from bladegeom.quantities.materials import materials
from bladegeom.quantities.steel_treatments import heat_treatment, treated_steels
from bladegeom.workshop.heat_treat import heat_treat_card
from bladegeom.workshop.operation import Operation
from bladegeom.workshop.route import Route, route
from bladegeom.workshop.work import Work

UNTREATED = [
    material.name for material in materials() if material.kind == "steel" and material.name not in treated_steels()
]


@cache
def bar(steel: str) -> Knife:
    return specimens.ground(specimens.bar_outline(), steel=steel)


@cache
def made(steel: str) -> Route:
    treatment = heat_treatment(steel)
    middle = treatment.falling[len(treatment.falling) // 2].hardness.hrc if treatment.tempers else None
    return route(bar(steel), work=Work(hardness=None if middle is None else (middle, middle)))


def whats(operation: Operation) -> set[str]:
    return {number.what for number in operation.numbers}


def test_steel_of_which_holes_leave_nothing_is_named_as_the_cause() -> None:
    """Not the mass of a quench, which no maker declared."""
    hole = Hole(x=-50.0, y=-15.0, diameter=900.0, purpose="lightening")
    card = heat_treat_card(dataclasses.replace(bar("A2"), holes=(hole,)))
    with pytest.raises(ParameterError) as caught:
        _ = card.plate_quench
    assert_refused(caught.value, "steel as hardened: mass | holes | narrower")


@pytest.mark.parametrize("steel", treated_steels())
def test_plates_or_oil_and_never_both_vessels(steel: str) -> None:
    treatment, heat = heat_treatment(steel), made(steel).operation("heat_treat")
    vessel = {
        "oil, working temperature",
        "quench vessel, least depth inside",
        "oil, depth",
        "oil, least for each blade",
    }
    assert bool(whats(heat) & vessel) == (treatment.oil and not treatment.plates)
    assert not whats(heat) & vessel or vessel <= whats(heat)
    assert ("plates, length" in whats(heat)) == treatment.plates
    assert any("Between plates" in task for task in heat.tasks) == treatment.plates


@pytest.mark.parametrize("steel", treated_steels())
def test_oil_has_a_working_temperature_below_its_flash_point(steel: str) -> None:
    """A machinists' handbook page: 90 to 130 F; a service-centre sheet of L6: 150 F; 29 CFR 1910.126: 50 F below."""
    told = [
        number for number in made(steel).operation("heat_treat").numbers if number.what == "oil, working temperature"
    ]
    for number in told:
        assert (number.low, number.high) == ((65.0, 65.0) if steel == "L6" else (32.0, 54.0))
        assert number.source
        assert "50.0 F" in number.note
        assert "flash point" in number.note


@pytest.mark.parametrize("steel", treated_steels())
def test_no_blade_goes_into_oil_in_its_foil(steel: str) -> None:
    treatment, heat = heat_treatment(steel), made(steel).operation("heat_treat")
    told = [task for task in heat.tasks if "bare blade into the oil" in task]
    assert len(told) == int(treatment.sheath and treatment.oil)
    assert all("foil" in task for task in told)
    if told and not treatment.plates:
        assert "plates" in told[0]
    assert any(task.startswith("Fold the foil") for task in heat.tasks) == treatment.sheath
    foil = [task for task in heat.tasks if "decarburisation: foil" in task]
    assert all(("off again before the oil" in task) == (treatment.oil and not treatment.plates) for task in foil)


@pytest.mark.parametrize("steel", treated_steels())
def test_the_temper_says_what_to_keep_out_of(steel: str) -> None:
    treatment, temper = heat_treatment(steel), made(steel).operation("temper")
    for out in treatment.avoid:
        assert out.words in temper.tasks
    rows = [number for number in temper.numbers if number.what.startswith("after ")]
    assert len(rows) == len(treatment.tempers)
    for number, row in zip(rows, treatment.tempers, strict=True):
        inside = any(out.holds(row.celsius) for out in treatment.avoid)
        assert inside == number.note.startswith("not from")
        assert bool(number.note) == (inside or row not in treatment.falling)
        assert "confidence" in number.source
    assert any("No tempering table" in task for task in temper.tasks) == (not treatment.tempers)


def test_no_word_of_a_script_stands_on_the_route() -> None:
    """A hardness outside the table, and a steel that has none."""
    outside = route(bar("O1"), work=Work(hardness=(69.0, 70.0)))
    (found,) = (finding for finding in outside.findings if finding.code == "hardness-window")
    assert "the steel maker's own curve of tempers" in found.message
    assert "(..." not in found.message
    tasks = route(bar(UNTREATED[0])).operation("heat_treat").tasks
    assert any("No recipe" in task for task in tasks)
    assert not any("(..." in task for task in tasks)


@pytest.mark.parametrize("steel", treated_steels())
def test_advice_and_warning_go_together(steel: str) -> None:
    planned_route = made(steel)
    aims = [number for number in planned_route.operation("temper").numbers if number.what == "temper at"]
    assert len(aims) == int(bool(heat_treatment(steel).tempers))
    for aim in aims:
        inside = any(out.holds(aim.value or 0.0) for out in heat_treatment(steel).avoid)
        assert inside == ("temper-avoided" in [found.code for found in planned_route.findings])
    assert not [found for found in planned_route.findings if found.code != "temper-avoided"]


def test_the_soft_middle_of_1095_is_found() -> None:
    found = [
        finding
        for finding in route(bar("1095"), work=Work(hardness=(56.0, 58.0))).findings
        if finding.code == "temper-avoided"
    ]
    assert [(finding.severity, finding.limit) for finding in found] == [("warning", 230.0)]


@pytest.mark.parametrize("steel", UNTREATED)
def test_a_steel_without_rows_asks_for_the_makers_own(steel: str) -> None:
    planned_route = route(bar(steel))
    assert [found.code for found in planned_route.findings] == ["heat-treat-unknown"]
    assert f"HeatTreatment(steel={steel!r}" in planned_route.findings[0].message
    assert not planned_route.operation("heat_treat").numbers


@pytest.mark.parametrize(("stock", "sheet"), [("80CrV2", "1.2235"), ("O1", "En 1.2510"), ("1.4037", "X65Cr13")])
def test_the_makers_own_sheet_may_name_the_steel_otherwise(stock: str, sheet: str) -> None:
    own = HeatTreatment(steel=sheet, austenitize_c=840.0, source="steel maker's data sheet", oil=True)
    assert heat_treat_card(bar(stock), Work(treatment=own)).treatment is own


def test_hardly_anything_left_beside_the_brittle_range_is_a_finding() -> None:
    """3 K are left of 54 to 58 HRC for 1080; the number says what hardness they leave."""
    planned_route = route(bar("1080"), work=Work(hardness=(54.0, 58.0)))
    assert [found.code for found in planned_route.findings if found.code.startswith("temper")] == ["temper-narrow"]
    (aim,) = (number for number in planned_route.operation("temper").numbers if number.what == "temper at")
    assert aim.note.endswith("57.7 to 58.0 HRC")
