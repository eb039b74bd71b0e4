"""The mark of a design's state: the same for the same, another for anything changed, the same in another process."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from datetime import date
from typing import Any

import numpy as np
import pytest
import specimens

from bladegeom import HoleRules, MarkZone, Shop, Stock, add_lightening_row, join_halves
from bladegeom.curves.curve import Curve
from bladegeom.knife.knife import Knife
from bladegeom.knife.revision_id import revision_date, revision_id
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.swelled import Swelled


def knife(**changed: Any) -> Knife:
    return replace(specimens.drop_point(), **changed)


def test_the_same_design_has_the_same_mark() -> None:
    assert revision_id(knife()) == revision_id(knife())


def test_it_begins_with_the_makers_own_revision() -> None:
    mark = revision_id(knife(revision="B2"))
    own, _, checksum = mark.rpartition("-")
    assert own == "B2"
    assert len(checksum) == 8
    assert int(checksum, 16) >= 0


@pytest.mark.parametrize(
    "changed",
    [
        {"name": "Another"},
        {"revision": "Z"},
        {"front_lean_deg": 0.001},
        {"hand_breadth": 84.0},
        {"stock": Stock(steel="1.4116", thickness=3.501)},
        {"rules": HoleRules(rim=3.1)},
        {"shop": Shop(contact_wheels=(25.4,))},
        {"zones": (MarkZone(x=15.0, y=-6.0, width=8.0, height=3.0, text="AB"),)},
        {"outline": join_halves(DropPoint(blade_length=110.001), Swelled())},
    ],
    ids=lambda changed: next(iter(changed)),
)
def test_any_change_gives_another_mark(changed: dict[str, Any]) -> None:
    assert revision_id(knife(**changed)) != revision_id(knife())


def test_holes_count() -> None:
    assert revision_id(add_lightening_row(knife())) != revision_id(knife())


def test_the_wording_of_a_source_does_not_count() -> None:
    specimen = knife()
    steel = replace(specimen.stock.material, source="another book", note="another word", also=("X",), composition=())
    assert revision_id(replace(specimen, stock=replace(specimen.stock, steel=steel))) == revision_id(
        replace(specimen, stock=replace(specimen.stock, steel=specimen.stock.material))
    )


def test_the_last_digit_of_a_float_does_not_count() -> None:
    specimen = knife()
    edge = specimen.outline.edge
    nudged = Curve(np.nextafter(edge.pieces, np.inf))
    assert revision_id(replace(specimen, outline=replace(specimen.outline, edge=nudged))) == revision_id(specimen)


def test_it_does_not_hang_on_the_process() -> None:
    code = (
        "import specimens; from bladegeom.knife.revision_id import revision_id; "
        "print(revision_id(specimens.drop_point()))"
    )
    path = os.pathsep.join(sys.path)
    told = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": path},
            capture_output=True,
            text=True,
            check=True,
        ).stdout.strip()
        for seed in ("1", "2")
    }
    assert told == {revision_id(knife())}


@pytest.mark.parametrize(
    ("revision", "day"),
    [("2026-03-01", date(2026, 3, 1)), ("2026-02-30", None), ("2026-03-01b", None), ("20260301", None), ("C2", None)],
)
def test_a_revision_that_is_a_day_of_the_calendar_dates_the_papers(revision: str, day: date | None) -> None:
    assert revision_date(knife(revision=revision)) == day


def test_minus_nothing_is_nothing() -> None:
    assert revision_id(knife(front_lean_deg=-0.0)) == revision_id(knife())
    assert revision_id(knife(front_lean_deg=-0.00001)) == revision_id(knife())


def test_a_size_told_as_a_whole_number_is_the_same_size() -> None:
    whole, told = (
        specimens.ground(join_halves(DropPoint(blade_length=length), Swelled()), height=17.0) for length in (112, 112.0)
    )
    assert whole == told
    assert revision_id(whole) == revision_id(told)
