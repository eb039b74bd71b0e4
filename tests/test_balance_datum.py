"""One datum for the balance point on everything that is printed, whichever way the handle front leans."""

from __future__ import annotations

import dataclasses
import math
import re
from functools import cache

import specimens

from bladegeom.balance.sensitivities import what_moves_balance
from bladegeom.design.design import Design
from bladegeom.design.report import report
from bladegeom.drawing.drawing import Label, Sheet
from bladegeom.findings.balance import check_balance
from bladegeom.knife.knife import Knife
from bladegeom.knife.scales import Scales
from bladegeom.mass.weigh import weigh
from bladegeom.order.measures import measure
from bladegeom.placing.target import add_lightening_to
from bladegeom.quantities.balance_bands import DATUM, BalanceBand, as_on_a_finger, from_front
from bladegeom.quantities.papers import paper
from bladegeom.quantities.units import show_mm
from bladegeom.sheets.balance_pages import balance_pages
from bladegeom.sheets.blade_sheet import blade_pages
from bladegeom.studies.variant import Outcome, run_variant
from bladegeom.writers.proof import proof
from bladegeom.writers.report_text import as_text

LEAN = 30.0
HIGH = 25.0
"""Of the tang where the front is, mm."""


@cache
def leaning() -> Knife:
    """A bar of plain arithmetic: its front leans so that its middle lies 7.2 mm behind the spine's end of it."""
    knife = specimens.ground(
        specimens.plain_tang(), front_lean_deg=LEAN, scales=Scales(slab="NEMA L", thickness=7.0), plunge=20.0
    )
    band = BalanceBand(low=weigh(knife).total.centre[0] + 2.0, high=weigh(knife).total.centre[0] + 3.0)
    return dataclasses.replace(knife, balance=band)


def told(sheets: tuple[Sheet, ...]) -> str:
    return " ".join(item.text for sheet in sheets for item in sheet.drawing.items if isinstance(item, Label))


def test_every_page_tells_the_balance_from_the_front_at_the_spine() -> None:
    knife, weighing = leaning(), weigh(leaning())
    # The origin of the frame is the spine's end of the front, and a blade's length counts from it too.
    words, by_hand = from_front(weighing.total.centre[0]), as_on_a_finger(weighing.total.centre[0])
    assert words.endswith(DATUM)
    assert by_hand.endswith(DATUM)
    content = report(Design(knife))
    (pages,) = blade_pages(Design(knife), [paper("A4")])
    texts = {
        "report": as_text(content),
        "template": told(tuple(pages.faces["right"])),
        "balance": told(balance_pages(Design(knife), [paper("A4")])),
        "proof": re.sub(r"<[^>]+>", "", proof(Design(knife), content).decode()),
        "finding": next(iter(check_balance(knife))).message,
    }
    for name, text in texts.items():
        plain = " ".join(text.split())
        assert (by_hand if name == "template" else words) in plain, name
        # No balance is told from a front without saying from which place of it.
        assert re.findall(r"in\) (?:ahead of|behind) the handle front(?! at the spine)", plain) == [], name


def test_what_is_compared_and_swept_counts_from_there_too() -> None:
    knife, at = leaning(), weigh(leaning()).total.centre[0]
    balance = measure("balance")
    assert balance.of(knife) == at
    assert DATUM in balance.how
    swept = run_variant(leaning, {}).outcome
    assert isinstance(swept, Outcome)
    assert swept.balance == round(at, 4)
    band = next(iter(check_balance(knife)))
    assert band.measured == at
    for sensitivity in what_moves_balance(weigh(knife)):
        assert sensitivity.balance is None or sensitivity.balance_shift == sensitivity.balance - at
    assert weigh(add_lightening_to(knife, balance=at + 0.5)).total.centre[0] >= at + 0.5 - 0.02


def test_the_report_tells_both_in_numbers() -> None:
    content = report(Design(leaning()))["total"]
    assert content["balance_x"] == weigh(leaning()).total.centre[0]
    # At mid height the front lies 12.5 tan 30 behind its end at the spine.
    behind = HIGH / 2 * math.tan(math.radians(LEAN))
    assert show_mm(content["balance_from_handle_front"]) == show_mm(content["balance_x"] + behind)
