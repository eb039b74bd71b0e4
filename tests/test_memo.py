"""What a knife remembers: taken over by a changed knife only as far as nothing of the change touches it."""

from __future__ import annotations

import dataclasses
from functools import cache
from typing import Any

import pytest
from fastened import CONTOURED, PIN, at, mixed

from bladegeom import Settings, check, weigh
from bladegeom.knife.bevels.flat import FlatBevel
from bladegeom.knife.grind import Grind, Plunge
from bladegeom.knife.hole import Hole
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import taking_over
from bladegeom.knife.rules import Shop
from bladegeom.knife.scales import Rounding, Scales
from bladegeom.knife.stock import Stock
from bladegeom.outline.outline import join_halves
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.swelled import Swelled
from bladegeom.quantities.drills import drill_index


def scales(**changed: Any) -> dict[str, Scales]:
    return {"scales": dataclasses.replace(CONTOURED, **changed)}


CHANGES: dict[str, dict[str, Any]] = {
    "outline": {"outline": join_halves(DropPoint(), Swelled(swell=6.0))},
    "blade alone": {"outline": join_halves(DropPoint(blade_length=118.0), Swelled())},
    "steel": {"stock": Stock(steel="1.4116", thickness=4.0, taper=mixed().stock.taper)},
    "thickness": {"stock": Stock(steel="1084", thickness=3.6)},
    "taper": {"stock": Stock(steel="1084", thickness=4.0, taper=((-112.0, 2.0), (-10.0, 4.0)))},
    "grind": {"grind": Grind(bevel=FlatBevel(height=15.0, edge_thickness=0.5), plunge=Plunge(x=4.0))},
    "lean": {"front_lean_deg": 6.0},
    "bow": {"front_bow": 1.0},
    "holes": {"holes": (Hole(x=-77.0, y=-14.0, diameter=9.0, purpose="lightening"),)},
    "lanyard hole": {"holes": (*mixed().holes[:2], Hole(x=-104.0, y=-15.0, diameter=6.0, purpose="lanyard"))},
    "fasteners": {"fasteners": (*mixed().fasteners[:5], at(-93.0, PIN))},
    # Bores of hardware follow the drills at hand.
    "shop": {"shop": Shop(drills=drill_index("metric"))},
    "no scales": {"scales": None},
    "slab": scales(slab="NEMA L"),
    "slab's thickness": scales(thickness=9.0),
    "one liner": scales(liners=CONTOURED.liners[:1]),
    "thicker liner": scales(liners=(CONTOURED.liners[0], dataclasses.replace(CONTOURED.liners[1], thickness=0.9))),
    "swell": scales(swell=((-110.0, 7.0), (-50.0, 7.9), (0.0, 7.0))),
    "rounding": scales(rounding=(Rounding(width=8.0, depth=2.0),)),
    "rounding at the front": scales(front_rounding=Rounding(width=3.0, depth=2.0)),
}


def told(knife: Knife) -> list[Any]:
    """Each part, and the steel at each stage, to the last bit."""
    weighing = weigh(knife)
    parts = [(part.name, part.material, part.mass.values.tolist()) for part in weighing.parts]
    return [*parts, *(weighing.stage(name).values.tolist() for name in ("blank", "rough", "finished", "sharp"))]


@cache
def weighed() -> Knife:
    """One that knows all that is told of it."""
    knife = mixed()
    told(knife)
    return knife


@pytest.mark.parametrize("name", CHANGES)
def test_a_changed_knife_weighs_what_it_weighs_by_itself(name: str) -> None:
    knife = weighed()
    before = told(knife)
    changed = taking_over(dataclasses.replace(knife, **CHANGES[name]), knife)
    by_itself = told(dataclasses.replace(mixed(), **CHANGES[name]))
    assert told(changed) == by_itself
    assert by_itself != before
    # Nor does the knife that it was know of the change.
    assert told(knife) == before


def test_what_is_remembered_in_words_is_told_in_each_unit() -> None:
    knife = dataclasses.replace(mixed(), hand_breadth=60.0)
    first = [finding.message for finding in check(knife)]
    with Settings(units="inch").in_force():
        inches = [finding.message for finding in check(knife)]
    assert [finding.message for finding in check(knife)] == first
    assert len(inches) == len(first)
    assert any(" mm (" in message for message in first)
    assert not any(" mm (" in message for message in inches)
    assert any(" in (" in message for message in inches)
