"""What to mind by what a knife is made of: each caution where its hazard is, and no steel's words on another metal."""

from __future__ import annotations

import dataclasses
import re
from functools import cache
from typing import Any

import fastened
import pytest
import specimens

from bladegeom.book.drill_pages import drill_pages
from bladegeom.book.grind_pages import grind_pages
from bladegeom.book.handle_pages import handle_pages
from bladegeom.design.design import Design
from bladegeom.design.report import report
from bladegeom.drawing.drawing import Label
from bladegeom.drilling.card import DrillCard
from bladegeom.drilling.cautions import CARBON, DUST, TITANIUM
from bladegeom.fasteners.pin import Pin
from bladegeom.findings.check import check
from bladegeom.knife.bevels.flat import FlatBevel
from bladegeom.knife.hole import Hole
from bladegeom.knife.knife import Knife
from bladegeom.knife.scales import Liner, Scales
from bladegeom.knife.zone import MarkZone
from bladegeom.quantities.papers import paper
from bladegeom.sheets.balance_pages import balance_pages
from bladegeom.sheets.blade_sheet import blade_pages
from bladegeom.signoff.job_card import card
from bladegeom.workshop.operation import Operation
from bladegeom.workshop.route import route
from bladegeom.workshop.steps import MoveStep
from bladegeom.workshop.work import Work
from bladegeom.writers.proof import proof
from bladegeom.writers.report_text import as_text

STEELS_OWN = re.compile(r"harden|quench|magnet|oxide|temper\b|hard tang|hard steel|\bsteels? (is|grows|cracks)", re.I)
"""What no metal but a hardened steel does or needs."""


@cache
def knife(steel: str = "Ti-6Al-4V", **changes: Any) -> Knife:
    made = fastened.bar(
        fastened.at(-20.0, fastened.INCH_STANDOFF), fastened.at(-50.0, fastened.BOLT), fastened.at(-80.0, fastened.PIN)
    )
    return dataclasses.replace(
        made,
        stock=dataclasses.replace(made.stock, steel=steel),
        grind=dataclasses.replace(made.grind, bevel=FlatBevel(height=18.0, edge_thickness=0.3), rough_edge=0.3),
        zones=(MarkZone(x=40.0, y=-8.0, width=12.0, height=5.0, text="DECK 1"),),
        **changes,
    )


def told(operation: Operation) -> str:
    numbers = (*operation.numbers, *operation.rests, *operation.waits, *operation.blanks)
    rows = [f"{row.operation} {row.tool} {row.note}" for row in operation.rows]
    return " ".join(
        (
            operation.title,
            *operation.tasks,
            *operation.cautions,
            *rows,
            *(f"{n.what} {n.note}" for n in numbers),
            operation.need,
        )
    )


def test_no_word_of_steels_stands_on_titanium() -> None:
    made = knife()
    for operation in route(made).operations:
        assert not STEELS_OWN.search(told(operation)), (operation.key, STEELS_OWN.search(told(operation)))
    pages = [page for of in (drill_pages, grind_pages, handle_pages) for page in of(Design(made), (paper("A4"),))]
    (template,) = blade_pages(Design(made), [paper("A4")])
    pages += template.faces["right"]
    words = " ".join(item.text for page in pages for item in page.drawing.items if isinstance(item, Label))
    content = report(Design(made))
    words += as_text(content) + re.sub(r"<[^>]+>", "", proof(Design(made), content).decode())
    assert "in the rough grind" in words
    assert not STEELS_OWN.search(words.replace("which is not hardened", ""))
    assert not [finding for finding in check(made) if STEELS_OWN.search(finding.message)]
    # The same knife of a steel has them.
    assert STEELS_OWN.search(" ".join(told(operation) for operation in route(knife("1084")).operations))
    assert {"edge-thin-before-hardening", "plunge-sharp"} <= {finding.code for finding in check(knife("1084"))}


def test_titanium_is_not_called_steel_where_its_weight_and_its_tang_are_told() -> None:
    made = dataclasses.replace(knife(), holes=(Hole(x=-65.0, y=-14.0, diameter=6.0, purpose="lightening"),))
    a4 = (paper("A4"),)
    first = blade_pages(Design(made), a4)[0].sheets
    pages = (*first, *grind_pages(Design(made), a4), *balance_pages(Design(made), a4))
    words = " ".join(item.text for page in pages for item in page.drawing.items if isinstance(item, Label))
    words += as_text(report(Design(made)))
    words += " ".join(f"{line.what} {line.note}" for line in route(made).inspection)
    assert not re.search(r"(?<!no )(?<!\(stainless )\bsteel\b(?! maker| sparks| rule)", words, re.IGNORECASE)


@pytest.mark.parametrize("key", ["cut", "drill", "rough_grind", "finish_grind", "surface", "sharpen"])
def test_every_step_that_makes_titanium_dust_warns_of_fire_and_water(key: str) -> None:
    assert set(TITANIUM) <= set(route(knife()).operation(key).cautions)
    assert not set(TITANIUM) & set(route(knife("1084")).operation(key).cautions)
    assert any("water" in line for line in TITANIUM)


def test_titanium_in_the_handle_is_ground_too() -> None:
    pin = dataclasses.replace(fastened.PIN, rod="Ti-6Al-4V")
    assert isinstance(pin, Pin)
    lined = Scales(slab="NEMA L", thickness=8.0, liners=(Liner(sheet="Ti-6Al-4V", thickness=0.8),))
    for made in (fastened.bar(fastened.at(-50.0, pin)), fastened.bar(fastened.at(-50.0, fastened.PIN), scales=lined)):
        assert set(TITANIUM) <= set(DrillCard(made).cautions)
        for key in ("dry_fit", "contour"):
            assert set(TITANIUM) <= set(route(made).operation(key).cautions)


def test_dust_lines_name_carbon_fibre_and_a_class_of_respirator() -> None:
    plain = fastened.bar(fastened.at(-50.0, fastened.PIN))
    carbon = dataclasses.replace(plain, scales=dataclasses.replace(fastened.FLAT, slab="carbon-fibre epoxy"))
    dust = " ".join(DUST)
    # NIOSH 42 CFR 84 and EN 149 have these classes.
    for words in ("carbon", "glass fibre", "P100", "FFP3", "local rules"):
        assert words in dust
    for made in (plain, carbon):
        told = [DrillCard(made).cautions, *(route(made).operation(key).cautions for key in ("dry_fit", "contour"))]
        assert all(set(DUST) <= set(lines) for lines in told)
        assert all((CARBON in lines) == (made is carbon) for lines in told)


@pytest.mark.parametrize(
    ("how", "words"),
    [
        ("electro-etched", ["Electro-etch"]),
        ("acid etch", ["Acid"]),
        ("etched", ["Acid"]),
        ("laser", ["Laser"]),
        ("Stamped, cold", ["Stamp"]),
        ("engraved", ["Graver"]),
        ("", ["Acid", "Electro-etch", "Laser", "Stamp", "Graver"]),
        ("with a paint pen", ["Acid", "Electro-etch", "Laser", "Stamp", "Graver"]),
    ],
)
def test_a_mark_is_cautioned_by_how_it_is_made(how: str, words: list[str]) -> None:
    lines = route(knife("1084"), work=Work(mark=how)).operation("mark").cautions
    assert [line.split(":")[0] for line in lines] == words


@pytest.mark.parametrize(
    ("steel", "how", "soft"),
    [
        ("1084", "stamped", True),
        ("1084", "Struck with a steel punch", True),
        ("1084", "engraved", False),
        ("1084", "etched through a stamped stencil", False),
        ("1084", "", False),
        ("Ti-6Al-4V", "stamped", False),
    ],
)
def test_a_mark_is_stamped_while_the_steel_is_soft(steel: str, how: str, *, soft: bool) -> None:
    """Hard steel takes no stamp, and may splinter under it; common practice, no source."""
    made = route(knife(steel), work=Work(mark=how))
    keys = [operation.key for operation in made.operations]
    later = "heat_treat" if soft else "handle"
    assert keys.index("mark") < keys.index(later)
    assert soft or keys.index("mark") > keys.index("finish_grind")
    assert keys.count("mark") == 1
    assert not [finding for finding in made.findings if finding.code.startswith("route-")]
    if soft:
        moved = route(knife(steel), work=Work(mark=how), steps=(MoveStep(key="mark", after="finish_grind"),))
        assert [finding.severity for finding in moved.findings if finding.code == "route-order"] == ["error"]


def test_an_etch_on_titanium_is_left_to_a_licensed_shop() -> None:
    fluorides = [
        any("fluorides" in line for line in route(knife(steel), work=Work(etch="dark")).operation("etch").cautions)
        for steel in ("Ti-6Al-4V", "1084")
    ]
    assert fluorides == [True, False]


def test_every_caution_stands_on_the_job_card() -> None:
    made = route(knife(), work=Work(mark="laser"))
    words = " ".join(str(c) for p in card(made).parts for t in p.tables for row in t.rows for c in row)
    for operation in made.operations:
        assert all(caution in words for caution in operation.cautions)
    assert all(len(line) <= 120 for operation in made.operations for line in operation.cautions)


def test_the_usual_steels_are_steel() -> None:
    assert specimens.drop_point().stock.hardens
    assert not knife().stock.hardens
