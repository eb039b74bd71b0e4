"""The table of cutting processes, and the limits that a shop makes its own."""

from __future__ import annotations

import csv
import dataclasses
import re
from importlib.resources import files

import pytest
from refusals import assert_refused, unknown

from bladegeom.knife.rules import Process, Shop
from bladegeom.quantities.cutting_processes import process_limits, process_named
from bladegeom.quantities.errors import ParameterError, UnknownNameError
from bladegeom.quantities.units import length

LIMITS = {field.name for field in dataclasses.fields(Process)} - {"name", "basis"}


def test_every_process_states_every_limit_with_a_source() -> None:
    assert set(process_limits()) == {"waterjet", "laser", "wire EDM"}
    for limits in process_limits().values():
        assert set(limits) == LIMITS
        assert all(limit.source and limit.confidence in ("high", "medium", "low") for limit in limits.values())


def test_values_lie_in_the_spread_that_was_seen() -> None:
    text = (files("bladegeom.quantities") / "data" / "cutting_processes.csv").read_text(encoding="utf-8")
    for row in csv.DictReader(text.splitlines()):
        if row["low"] and row["high"] and not row["limit"].endswith("per_thickness"):
            assert length(row["low"]) <= length(row["value"]) <= length(row["high"]) + 1e-9, row
        assert row["confidence"] != "high" or not row["source"].startswith("common practice")


def test_waterjet_is_the_default() -> None:
    assert Process.named("waterjet") == Process() == Shop().process


def test_named_sets() -> None:
    laser, wire = Process.named("Laser"), Process.named("wire-edm")
    assert (laser.name, wire.name) == ("laser", "wire EDM")
    # A job shop's guideline: hole at least as wide as the stock is thick, at least 1 mm; waterjet half of that.
    assert laser.least_hole(4.0) == 4.0
    assert laser.least_hole(0.5) == 1.0
    assert Process().least_hole(4.0) == 2.0
    # A toolmaker's paper: start holes of 3/32 in; only the wire needs any.
    assert wire.start_hole == pytest.approx(2.4)
    assert not laser.start_hole
    assert (laser.can_mark, wire.can_mark, Process().can_mark) == (True, False, False)
    assert laser.source("web_per_thickness") == "a job shop's guideline: features one thickness from an edge"
    assert laser.web_source(4.0) == laser.source("web_per_thickness")
    assert laser.web_source(0.5) == laser.source("web")
    with pytest.raises(UnknownNameError, match=re.escape(unknown("cutting process", "lazer", "laser"))):
        Process.named("lazer")


def test_a_shop_s_own_limits_go_over_a_set() -> None:
    own = dataclasses.replace(Process.named("laser"), name="our laser", smallest_hole=2.0)
    assert own.source("smallest_hole") == "set by the shop: our laser"
    assert own.source("kerf").endswith("; not stated for our laser")
    assert dataclasses.replace(Process.named("laser"), kerf=0.2).source("kerf") == "set by the shop"
    with pytest.raises(ParameterError) as caught:
        Process(can_mark="no")  # type: ignore[arg-type]
    assert_refused(caught.value, "process: can_mark")


def test_names_are_matched_loosely() -> None:
    assert process_named(" WIRE edm ")[0] == "wire EDM"
