"""Files that hold nothing to cut, a heap, a doubled stretch, dimensions, or a polyline that is not marked closed."""

from __future__ import annotations

import math

import pytest
from spoiled import Part

from bladegeom.cutfile.preflight import Preflight, preflight_plan
from bladegeom.importers.cut_lines import read_cut_plan
from bladegeom.knife.rules import Process


def checked(part: Part) -> Preflight:
    return preflight_plan(read_cut_plan(part.data(), "part.dxf"), Process(), 0.0)


def errors(found: Preflight) -> set[str]:
    return {finding.code for finding in found.findings if finding.severity == "error"}


def test_a_file_without_lines_has_nothing_to_cut() -> None:
    part = Part()
    part.doc.modelspace().delete_all_entities()
    found = checked(part)
    assert errors(found) == {"nothing"}
    assert found.perimeter == 0
    assert found.unsought


@pytest.mark.parametrize("count", [40, 1600])
def test_a_heap_of_lines_is_told_as_one(count: int) -> None:
    """Copies upon copies: n (n - 1) / 2 pairs, of which a million are looked at."""
    part = Part()
    for _ in range(count):
        part.doc.modelspace().add_line((20.0, 60.0), (60.0, 60.0))
    found = checked(part)
    heap = count * (count - 1) / 2 > 1e6
    assert ("tangle" in errors(found)) is heap
    assert ("duplicate" in errors(found)) is not heap
    assert bool(found.unsought) is heap


@pytest.mark.parametrize("count", [2, 5, 1000])
def test_a_line_that_is_drawn_many_times_is_told_once_for_each_copy(count: int) -> None:
    """Not once for each pair, of which a thousand have half a million."""
    part = Part()
    for _ in range(count):
        part.doc.modelspace().add_line((20.0, 60.0), (60.0, 60.0))
    told = [finding for finding in checked(part).findings if finding.code == "duplicate"]
    assert len(told) == min(count - 1, 10)
    assert ("(and 989 more like this)" in told[-1].message) is (count == 1000)


def test_a_line_that_runs_on_beyond_a_side_overlaps_it() -> None:
    """It starts on the upper side, 30 mm from its left end, and runs 20 mm on beyond: 30 of its 50 mm are doubled."""
    part = Part()
    y = part.y + part.height
    part.doc.modelspace().add_line((part.x + 30.0, y), (part.x - 20.0, y))
    (finding,) = (candidate for candidate in checked(part).findings if candidate.code == "overlap")
    assert finding.measured == pytest.approx(30.0)
    assert finding.severity == "error"


def test_dimensions_are_no_lines_to_cut() -> None:
    part = Part()
    part.doc.modelspace().add_linear_dim(base=(0, -20), p1=(0, 0), p2=(50, 0)).render()
    (finding,) = (candidate for candidate in checked(part).findings if candidate.code == "dimension")
    assert (finding.severity, finding.measured) == ("error", 1.0)


@pytest.mark.parametrize("marked", [True, False])
def test_a_polyline_that_ends_where_it_begins_wants_its_mark(*, marked: bool) -> None:
    part = Part()
    part.drop_outline()
    rows = part.outline if marked else [*part.outline, part.outline[0]]
    part.draw(rows, close=marked)
    found = checked(part)
    assert ("not-marked-closed" in {finding.code for finding in found.findings}) is not marked
    assert not errors(found)
    # It is measured either way. Source: the belly is an arc of sweep 4 atan(bulge) over the bar's length.
    sweep = 4 * math.atan(0.05)
    assert found.perimeter == pytest.approx(
        part.length * sweep / (2 * math.sin(sweep / 2))
        + part.length
        + part.height
        + math.pi * part.height / 2
        + 3 * 2 * math.pi * part.radius
        + 2 * math.pi * part.radius
        + 0.2 * part.length
    )
