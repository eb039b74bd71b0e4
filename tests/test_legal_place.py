"""The place to which a wrong hole is told to move: nearest, and legal by the checks themselves."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from specimens import ground, plain_tang
from tangs import waisted

from bladegeom.checks.holes import check_holes
from bladegeom.checks.net_section import check_net_section
from bladegeom.knife.hole import Hole, Opening, Slot
from bladegeom.knife.knife import Knife
from bladegeom.knife.rules import HoleRules
from bladegeom.placing.legal_place import nearest_legal


def moved(knife: Knife) -> Knife:
    """With its first hole at the place that is told."""
    place = nearest_legal(knife, 0)
    assert place is not None
    opening = knife.holes[0]
    return dataclasses.replace(knife, holes=(_at(opening, place), *knife.holes[1:]))


def _at(opening: Opening, place: tuple[float, float]) -> Opening:
    if isinstance(opening, Hole):
        return dataclasses.replace(opening, x=place[0], y=place[1])
    way = np.array(place) - (opening.x, opening.y)
    (x0, y0), (x1, y1) = (opening.axis + way).tolist()
    return dataclasses.replace(opening, start=(x0, y0), end=(x1, y1))


def errors(knife: Knife) -> set[str]:
    return {
        finding.code
        for check in (check_holes, check_net_section)
        for finding in check(knife)
        if finding.severity == "error"
    }


@pytest.mark.parametrize("table", ["AISC J3.4", "EN 1993-1-8"])
def test_a_table_of_edge_distances_counts(table: str) -> None:
    # 7 mm wide, rim 3: by the rim alone 6.5 mm from the outline would do, by each of these tables it must be more.
    rules = HoleRules(name="by table", edge_table=table, rim=3.0, per_thickness=0.0)
    assert rules.edge_distance(7.0) > 6.5
    outside = Hole(x=-50.0, y=1.0, diameter=7.0, purpose="lightening")
    good = moved(ground(plain_tang(), holes=(outside,), rules=rules))
    assert errors(good) == set()
    assert -good.holes[0].y == pytest.approx(rules.edge_distance(7.0), abs=0.3)


@pytest.mark.parametrize(
    "opening",
    [
        Hole(x=-60.0, y=0.0, diameter=8.5, purpose="lightening"),
        Slot(start=(-57.0, 0.0), end=(-63.0, -2.0), diameter=7.4, purpose="lightening"),
    ],
)
def test_the_net_width_counts(opening: Opening) -> None:
    # In the waist of 15 mm no more than 7.5 may go, upright; only nearer to an end is the tang high enough.
    rules = HoleRules(name="narrow rims", rim=1.0, per_thickness=0.0, edge_distance_per_diameter=0.0)
    knife = ground(waisted(120.0, 15.0), holes=(opening,), rules=rules)
    good = moved(knife)
    assert errors(good) == set()
    assert abs(good.holes[0].x + 60.0) > 3.0


def test_other_holes_on_the_same_upright_line_count() -> None:
    rules = HoleRules(name="close", rim=1.0, web=0.5, per_thickness=0.0, edge_distance_per_diameter=0.0)
    holes = (
        Hole(x=-50.0, y=-1.0, diameter=6.0, purpose="lightening"),
        Hole(x=-50.0, y=-19.0, diameter=8.0, purpose="lightening"),
    )
    knife = ground(plain_tang(), holes=holes, rules=rules)
    good = moved(knife)
    assert errors(good) == set()
    assert good.holes[0].x != pytest.approx(-50.0, abs=0.5)
