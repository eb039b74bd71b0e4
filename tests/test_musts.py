"""No order ends as complete while a must of it is missed: every kind of requirement, every code, one by one."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, Final

import pytest
from orders import asked, changed, knife, met, order, pairs
from orders_in_words import pairs as pairs_in_words

from bladegeom import (
    Feature,
    Finish,
    HandCheck,
    Knife,
    Liner,
    MadeOf,
    Measured,
    Order,
    Scales,
    Stock,
    TextureZone,
    check_order,
    landings,
    measures,
    route,
)
from bladegeom.knife.rule import rules_in
from bladegeom.order.order_ways import FEATURES
from bladegeom.order.ordered import hardness, ordered_limits
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.steel_treatments import heat_treatment
from bladegeom.quantities.temper_table import Hardness, Temper
from bladegeom.signoff.order_lines import is_complete, verdict
from bladegeom.workshop.work import Work

STEPS = ("temper", "surface", "etch")

ROOT = Path(__file__).resolve().parent.parent

CODES: Final = tuple(
    code for room in ("order", "signoff") for rule in rules_in(f"bladegeom.{room}") for code in rule.codes
)

MISSED: Final = {code.name for code in CODES if code.missed}
"""Codes that mean that a must is missed: an error, each of them."""

FACTS: Final = {code.name: code.severities for code in CODES if code.name not in MISSED}
"""Codes about facts of the order, behind which no must stands, and how much they weigh."""


def ends(wanted: Order, design: Knife, work: Work | None = None) -> tuple[bool, set[tuple[str, str]]]:
    """Whether it ends as complete, and its findings as code and severity."""
    landed, found = landings(wanted, design, STEPS, work), check_order(wanted, design, STEPS, work)
    assert verdict(landed, found).startswith("complete") == is_complete(landed, found)
    return is_complete(landed, found), {(finding.code, finding.severity) for finding in found}


def missed_measures() -> Iterator[Any]:
    """Every measure, asked for above and below what the design has; one that it has not, asked for at all."""
    for name, measure in measures().items():
        value = measure.of(knife()) if name != "hardness" else 55.5
        for end, limit in (("low", value + 5), ("high", value - 5)) if value is not None else (("low", 0.0),):
            yield pytest.param(Measured(measure=name, **{end: limit}), id=f"{name} {end}")


BARE: Final = ("texture", "mark", "lanyard", "liners", "lightening", "fasteners", "scales")
HAS_NOT: Final = ("tang taper", "distal taper", "one-sided grind")


@cache
def bare() -> Knife:
    """A design without anything."""
    return changed(zones=(), holes=(), fasteners=(), scales=None)


@cache
def full() -> Knife:
    """A design with everything that the other one has not."""
    has = knife()
    taper = ((has.outline.bounds[0], 2.0), (0.0, 3.5), (60.0, 3.5), (110.0, 1.5))
    return changed(
        stock=Stock(steel="1.4116", thickness=3.5, taper=taper), grind=dataclasses.replace(has.grind, only="right")
    )


def missed_features() -> Iterator[Any]:
    """Every feature, wanted where it is not, and wanted away where it is."""
    plain = changed(scales=Scales(slab="Juglans nigra", thickness=8.0, swell=()))
    for what in FEATURES:
        if what in BARE:
            yield pytest.param(Feature(what=what), bare(), id=what)
            yield pytest.param(Feature(what=what, absent=True), knife(), id=f"no {what}")
        elif what in HAS_NOT:
            yield pytest.param(Feature(what=what), knife(), id=what)
            yield pytest.param(Feature(what=what, absent=True), full(), id=f"no {what}")
    yield pytest.param(Feature(what="swell"), plain, id="swell")
    yield pytest.param(Feature(what="grind", text="convex"), knife(), id="grind")
    yield pytest.param(Feature(what="grind", text="flat", absent=True), knife(), id="no grind")
    yield pytest.param(Feature(what="lanyard", cord=6), knife(), id="lanyard cord")
    yield pytest.param(Feature(what="mark", text="DECK 1", side="left"), knife(), id="mark on the left")
    yield pytest.param(Feature(what="mark", side="both", absent=True), knife(), id="no mark on either face")
    yield pytest.param(Feature(what="mark", text="DECK 1", side="right", absent=True), knife(), id="not this mark")
    one_face = changed(zones=(TextureZone(start=30.0, end=70.0, depth=0.3, side="right"),))
    yield pytest.param(Feature(what="texture", side="both"), one_face, id="texture on both faces")
    yield pytest.param(Feature(what="texture", side="both", absent=True), one_face, id="no texture on either face")
    yield pytest.param(Feature(what="texture", place="handle"), knife(), id="texture on the handle")
    yield pytest.param(Feature(what="texture", place="blade and handle"), knife(), id="texture on blade and handle")
    away = Feature(what="texture", place="blade and handle", absent=True)
    yield pytest.param(away, knife(), id="no texture on blade and handle")
    yield pytest.param(Feature(what="one-sided grind", side="left"), full(), id="the other face ground")


def missed_others() -> Iterator[Any]:
    for part, material in (
        ("steel", "440C"),
        ("scales", "bone"),
        ("liners", "NEMA C"),
        ("fasteners", "304"),
        ("pin", "304"),
        ("lanyard tube", "C26000"),
    ):
        yield pytest.param(MadeOf(part=part, material=material), id=f"{part} of {material}")
    yield pytest.param(MadeOf(part="scales", material="moon cheese"), id="no such material")
    yield pytest.param(Finish(operation="gild", finish="gold"), id="no such step")
    yield pytest.param(Measured(measure="bounce", low=1), id="no such measure")


WAYS = [
    *(pytest.param(*measure.values, None, id=f"{measure.id}") for measure in (*missed_measures(), *missed_others())),
    *missed_features(),
]


@pytest.mark.parametrize(("way", "design"), WAYS)
def test_a_missed_must_is_never_complete(way: Any, design: Knife | None) -> None:
    done, found = ends(met(way), design or knife())
    assert not done
    assert {severity for code, severity in found if code in MISSED} == {"error"}
    # Beside other ways that are met, and as a wish, it is not complete either; then it stops no cut file.
    look = HandCheck(look="looked at", signed="maker")
    assert not ends(met(look, way), design or knife())[0]
    done, found = ends(met(way, weight="wish"), design or knife())
    assert not done
    assert ("order-measure", "error") not in found


def test_every_code_of_an_order_is_declared_by_a_rule() -> None:
    said = {
        code
        for path in sorted((ROOT / "bladegeom").rglob("*.py"))
        for code in re.findall(r'"(order-[a-z-]+)"', path.read_text())
    }
    assert said == {code.name for code in CODES if code.name.startswith("order-")}
    assert all("error" in code.severities for code in CODES if code.missed)


PAIRS = (*pairs(), *pairs_in_words())


def test_what_is_planted_weighs_what_the_table_says() -> None:
    """All requirements made musts: whatever means that one is missed is an error."""
    for pair in PAIRS:
        musts = tuple(
            dataclasses.replace(requirement, weight="must") if requirement.weight == "wish" else requirement
            for requirement in pair.faulty.requirements
        )
        done, found = ends(dataclasses.replace(pair.faulty, requirements=musts), pair.faulty_knife or knife())
        for code, severity in found:
            assert severity in (("error",) if code in MISSED else FACTS[code]), (pair.name, code)
        assert not (done and {code for code, _ in found} & MISSED), pair.name


@pytest.mark.parametrize(
    ("way", "lands"),
    [
        (Measured(measure="hardness", low=62), False),
        (Measured(measure="hardness", low=60, high=62), False),
        (Measured(measure="hardness", high=50), False),
        (Measured(measure="hardness", nominal=58, tolerance=1), False),
        (Measured(measure="hardness", low=55), True),
        (Measured(measure="hardness", low=55, high=57), True),
        (Measured(measure="hardness", nominal=55.5, tolerance=0.5), True),
    ],
)
def test_hardness_that_the_steel_cannot_have_is_missed(way: Measured, *, lands: bool) -> None:
    """The knife's 1.4116 gives 55 to 56 HRC by the table of tempers."""
    done, found = ends(met(way), knife())
    assert done is lands
    assert (("order-measure", "error") in found) is not lands
    if not lands:
        (told,) = check_order(met(way), knife(), STEPS)
        assert told.measured in (55.0, 56.0)
        assert told.limit in way.limits


def test_a_temper_set_elsewhere_misses_the_hardness_that_was_asked_for() -> None:
    wanted = met(Measured(measure="hardness", low=58, high=60))
    o1 = changed(stock=Stock(steel="O1", thickness=3.5))
    assert ends(wanted, o1, Work(hardness=(58.0, 59.0)))[0]
    assert ends(wanted, o1, Work(hardness=(55.0, 57.0))) == (False, {("order-measure", "error")})


def test_a_treatment_of_the_makers_own_says_what_the_steel_can_have() -> None:
    wanted = met(Measured(measure="hardness", low=58, high=60))
    curve = tuple(
        Temper(celsius=celsius, hardness=Hardness(hrc=hrc, low=hrc - 1, high=hrc + 1))
        for celsius, hrc in ((150.0, 60.0), (200.0, 58.0))
    )
    own = dataclasses.replace(heat_treatment("1.4116"), tempers=curve, source="invented")
    assert not ends(wanted, knife())[0]
    assert ends(wanted, knife(), Work(treatment=own))[0]


def test_a_steel_without_a_table_is_told_as_not_known() -> None:
    own = dataclasses.replace(knife().stock.material, name="own bar")
    (landing,) = landings(
        met(Measured(measure="hardness", low=64)), changed(stock=Stock(steel=own, thickness=3.5)), STEPS
    )
    assert landing.state == "later"
    assert "not known here" in landing.words


def test_a_wish_gives_way_to_a_must_in_temper_and_inspection() -> None:
    must, wish = Measured(measure="hardness", low=58, high=60), Measured(measure="hardness", low=61, high=62)
    both = order(asked(met=wish, weight="wish"), asked(2, met=must))
    assert hardness(both) == (58.0, 60.0)
    near = order(asked(met=Measured(measure="hardness", low=59), weight="wish"), asked(2, met=must))
    assert hardness(near) == (59.0, 60.0)
    assert ordered_limits(order(asked(met=must), asked(2, met=wish)), "hardness") == (None, None)
    assert ordered_limits(order(asked(met=Measured(measure="mass", high=90))), "mass") == (None, 90.0)
    card = route(changed(stock=Stock(steel="O1", thickness=3.5)), both).card
    assert card is not None
    assert card.temper is not None


def test_a_liner_is_one_of_the_parts() -> None:
    two = Scales(slab="Juglans nigra", thickness=8.0, liners=(Liner(sheet="NEMA G-10", thickness=0.8),) * 2)
    assert ends(met(MadeOf(part="liners", material="NEMA G-10")), changed(scales=two))[0]


@pytest.mark.parametrize(
    "limits",
    [
        {"measure": "mass", "high": "5 in"},
        {"measure": "hardness", "low": "2 in"},
        {"measure": "sharpening angle", "nominal": "13 mm", "tolerance": 1},
        {"measure": "sharpening angle", "nominal": 13, "tolerance": "1 mm"},
        {"measure": "blade length", "nominal": "6 in", "tolerance": "6 in"},
        {"measure": "mass", "nominal": 90, "tolerance": 100},
    ],
    ids=str,
)
def test_a_limit_in_another_unit_or_without_any_bite_is_refused(limits: dict[str, Any]) -> None:
    """5 in of mass would be 127 g, and 6 in give or take 6 in is met by any blade."""
    with pytest.raises(ParameterError):
        Measured(**limits)


def test_a_balance_may_be_anywhere_round_the_front() -> None:
    assert Measured(measure="balance", nominal=5, tolerance=10).limits == (-5, 15)
