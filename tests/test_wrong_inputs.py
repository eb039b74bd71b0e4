"""Thousands of wrong inputs: every field of everything that is declared, with whatever a slip of the pen may put there.

What comes of each is kept in ``wrong_inputs/fields.csv``: what is refused and in which words of its limit, and what is
taken, as it is right after all. ``python tests/test_wrong_inputs.py`` writes the table anew; read what changes in it.
"""

from __future__ import annotations

import csv
import dataclasses
import datetime
import math
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, Final

import numpy as np
import pytest

import bladegeom
from bladegeom import Design, read_prices
from bladegeom.quantities.errors import BladegeomError, ParameterError

HERE = Path(__file__).resolve().parent
EXAMPLES, TABLE = HERE.parent / "examples", HERE / "wrong_inputs" / "fields.csv"

WRONG: Final[dict[str, Any]] = {
    "none": None,
    "not a number": math.nan,
    "infinity": math.inf,
    "minus infinity": -math.inf,
    "nought": 0,
    "minus nought": -0.0,
    "minus one": -1,
    "minus a half": -0.5,
    "far too large": 1e300,
    "far too small": 5e-324,
    "4000 digits": 10**4000,
    "complex": 1 + 2j,
    "true": True,
    "empty text": "",
    "blank text": "   ",
    "a number as text": "12",
    "a length without a meaning": "three inches or so",
    "controls": "a\x1b[2J\x00b",
    "right to left": "\u202egnp.exe",
    "50,000 letters": "W" * 50_000,
    "half a surrogate": "\ud800",
    "bytes": b"3",
    "empty row": (),
    "row of nothing": (None,),
    "row of rows": ((1, 2), (3,)),
    "a set": frozenset({1}),
    "a mapping": {"x": 1},
    "a class": dict,
    "a function": len,
    "an array": np.array([1.0, math.nan]),
    "an array of one": np.array([3.0]),
    "an object": object(),
}
"""By name."""


class Unsayable:
    """What cannot even be shown."""

    def __repr__(self) -> str:
        raise ValueError("no words")


WRONG["cannot be shown"] = Unsayable()


@cache
def right() -> dict[type, Any]:
    """An object of every declared class: from the examples, and what none of them has."""
    found: dict[type, Any] = {}
    for path in sorted(EXAMPLES.glob("*_*.py")):
        if path.name != "export_all.py":
            design = Design.from_script(path)
            for whole in (design.knife, design.order, design.work, design.settings):
                _gather(whole, found, 8)
    operation = bladegeom.Operation(key="engrave", title="Engrave")
    others: tuple[Any, ...] = (
        *(operation, bladegeom.AddStep(operation=operation, after="surface"), bladegeom.DropStep(key="template")),
        bladegeom.MoveStep(key="etch", after="surface"),
        bladegeom.Number(what="height", value=31.0),
        bladegeom.AngledBevel(angle_deg=4.0, edge_thickness=0.3),
        bladegeom.HollowBevel(wheel_diameter=254.0, height=17.0, edge_thickness=0.3),
        bladegeom.Landmarks(handle_front=110.0, heel=100.0),
        bladegeom.StockPiece(length=500.0, width=50.0),
        bladegeom.BalanceBand(low=-15.0, high=0.0),
        *(bladegeom.Tabs(count=3, width=1.0), bladegeom.Printing(), bladegeom.PrintBed(width=220.0, depth=220.0)),
        bladegeom.Plates(length=300.0, width=150.0),
        bladegeom.Signed(customer="the cook", maker="the smith", date=datetime.date(2026, 3, 9), how="on paper"),
        bladegeom.AgreedPrice(amount="640.00", currency="EUR"),
        bladegeom.AgreedTerm(what="deposit", value="30 % of what is to pay"),
        bladegeom.Answered(question="Mark on which side?", answer="left"),
        bladegeom.AvoidTemper(low_c=250.0, high_c=400.0, why="brittle", source="data sheet"),
        bladegeom.HeatTreatment(steel="1.2842", austenitize_c=800.0, source="data sheet"),
        *(hard := bladegeom.Hardness(hrc=60.0, low=59.0, high=61.0), bladegeom.Temper(celsius=200.0, hardness=hard)),
        bladegeom.blank_of(design.knife),
        read_prices(EXAMPLES / "prices.toml"),
    )
    for each in others:
        _gather(each, found, 8)
    return found


def _gather(value: Any, found: dict[type, Any], depth: int) -> None:
    if depth and dataclasses.is_dataclass(value) and not isinstance(value, type):
        if hasattr(type(value), "__example__"):
            found.setdefault(type(value), value)
        for field in dataclasses.fields(value):
            _gather(getattr(value, field.name, None), found, depth - 1)
    elif depth and isinstance(value, tuple):
        for item in value[:50]:
            _gather(item, found, depth - 1)


def cases() -> Iterator[tuple[type, str, str]]:
    """Class, field and the name of what is put there."""
    for kind in sorted(right(), key=lambda kind: kind.__qualname__):
        for field in dataclasses.fields(kind):
            if field.init:
                for name in WRONG:
                    yield kind, field.name, name


def outcome(kind: type, field: str, name: str) -> tuple[str, str]:
    """Whether it is refused, and in which words; anything but the library's own error goes on."""
    try:
        dataclasses.replace(right()[kind], **{field: WRONG[name]})
    except BladegeomError as error:
        message = str(error)
        assert "\n" not in message
        assert len(message) < 900, message[:900]
        assert "Traceback" not in message
        return "refused", getattr(error, "must", message)[:30].rstrip()
    return "taken", ""


@pytest.mark.long
def test_every_field_refuses_what_is_wrong_in_one_sentence() -> None:
    with TABLE.open(encoding="utf-8", newline="") as file:
        kept = {tuple(row[:3]): tuple(row[3:]) for row in csv.reader(file)}
    now = {(kind.__name__, field, name): outcome(kind, field, name) for kind, field, name in cases()}
    assert len(now) > 5000
    assert {key: told for key, told in now.items() if kept.get(key) != told} == {}
    assert kept.keys() == now.keys()


@pytest.mark.parametrize("name", WRONG)
def test_a_knife_refuses_what_is_wrong(name: str) -> None:
    """A sample by default: what a maker writes most."""
    for kind in (bladegeom.Stock, bladegeom.Grind, bladegeom.Plunge, bladegeom.Scales, bladegeom.FlatBevel):
        for field in dataclasses.fields(kind):
            assert outcome(kind, field.name, name)[0] in ("refused", "taken")


@pytest.mark.parametrize("name", ["not a number", "infinity", "minus one", "4000 digits", "bytes", "an object", "true"])
def test_no_thickness_is_anything_but_a_length(name: str) -> None:
    assert outcome(bladegeom.Stock, "thickness", name)[0] == "refused"


def test_a_length_that_nothing_can_be_computed_with_is_refused() -> None:
    for length, told in ((1e300, "at most 100000 mm"), (5e-324, "at least 0.000001 mm")):
        with pytest.raises(ParameterError, match=told):
            bladegeom.Stock(steel="1084", thickness=length)
        with pytest.raises(ParameterError, match=told):
            bladegeom.Rounding(width=3.0, depth=length)
    with pytest.raises(ParameterError, match="at most 100000 mm"):
        bladegeom.Hole(x=1e300, y=-10.0, diameter=5.0, purpose="lightening")


@pytest.mark.parametrize("beside", [0.0, 1e-11, -5.8e-11, 5e-324])
def test_a_place_may_lie_as_near_to_nought_as_computing_has_left_it(beside: float) -> None:
    assert bladegeom.Stock(steel="1084", thickness=3.0, taper=((-110.0, 2.0), (beside, 3.0))).taper[1][0] == beside


def test_a_day_to_which_none_can_be_added_is_refused() -> None:
    """Python's calendar ends with the year 9999, and a shop's order a little before."""
    order: Any = Design.from_script(EXAMPLES / "galley_petty.py").order
    for field in ("date", "needed_by"):
        with pytest.raises(ParameterError, match="a day of the years 1900 to 2200"):
            dataclasses.replace(order, **{field: datetime.date(9999, 12, 30)})
    with pytest.raises(ParameterError, match="from 0 to 3650 days"):
        bladegeom.Lead(queue=1e300)


@pytest.mark.parametrize("kind", [bladegeom.Drill, bladegeom.Glue, bladegeom.MarkZone])
def test_half_a_letter_is_refused(kind: type) -> None:
    """No file holds it: it would fell the report after all the work."""
    for field in dataclasses.fields(kind):
        assert outcome(kind, field.name, "half a surrogate")[0] == "refused"


if __name__ == "__main__":
    with TABLE.open("w", encoding="utf-8", newline="") as table:
        writer = csv.writer(table, lineterminator="\n")
        for row in cases():
            writer.writerow((row[0].__name__, *row[1:], *outcome(*row)))
    sys.stdout.write(f"{TABLE}\n")
