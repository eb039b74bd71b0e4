"""Values of the wrong kind: each answer says what was written, and how it is written right."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from typing import Any

import pytest
from specimens import drop_point

from bladegeom import (
    BladegeomError,
    ConvexEdge,
    Fastener,
    FlatBevel,
    Grind,
    Hole,
    HoleRules,
    Knife,
    MarkZone,
    Pin,
    Plunge,
    Scales,
    Shop,
    Stock,
    join_halves,
    material,
    profiles,
)
from bladegeom.knife.bevels.flat import BevelToLine
from bladegeom.quantities.errors import ParameterError, UnknownNameError

FACE = FlatBevel(height=17.0, edge_thickness=0.4)
PIN = Pin(rod="304", diameter=6.0)
HOLE = Hole(x=-30.0, y=-12.0, diameter=5.0, purpose="lightening")


def knife(**wrong: Any) -> Knife:
    return dataclasses.replace(drop_point(), **wrong)


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: knife(scales="NEMA L"), "knife: scales = 'NEMA L': it must be written like scales=Scales(slab="),
        (
            lambda: knife(fasteners="304"),
            "it must be written like fasteners=(Fastener(",
        ),
        (
            lambda: knife(fasteners=Pin),
            "knife: fasteners = Pin, the kind itself and no value of it: it must be written",
        ),
        (
            lambda: knife(fasteners=PIN),
            "knife: fasteners = Pin(...): it must be written like fasteners=(Fastener(",
        ),
        (
            lambda: knife(fasteners=(PIN,)),
            "knife: fasteners = (Pin(...),): it must be written like fasteners=(Fastener(",
        ),
        (lambda: knife(handle_rules=HoleRules()), "it must be written like handle_rules=HandleRules("),
        (
            lambda: Fastener(x=-30.0, y=-12.0, hardware="304"),  # type: ignore[arg-type]
            "fastener: hardware = '304': it must be written like Pin(rod=",
        ),
        (
            lambda: knife(scales=Scales(slab="NEMA L", thickness=7.0, rounding=2.0)),  # type: ignore[arg-type]
            "it must be written like rounding=Rounding(width=10.0, depth=3.0)",
        ),
        (lambda: knife(stock="1.4116"), "knife: stock = '1.4116': it must be written like stock=Stock("),
        (lambda: knife(outline=profiles.get("petty")()), "it must be written like outline=join_halves("),
        (lambda: knife(grind=FACE), "it must be written like grind=Grind("),
        (lambda: knife(revision=2), "knife: revision = 2: it must be written like revision="),
        (lambda: knife(name=None), "knife: name = None: it must be written like name="),
        (lambda: knife(holes=HOLE), "it must be written like holes=(Hole(...),), with its comma"),
        (lambda: knife(holes=None), "it must be written like holes=(Hole(...),), with its comma"),
        (lambda: knife(holes=("1/4",)), "it must be written like holes=(Hole(...),), with its comma"),
        (lambda: knife(zones=("texture",)), "it must be written like zones=(MarkZone(...),), with its comma"),
        (lambda: knife(rules="strict"), "knife: rules = 'strict': it must be written like rules=HoleRules("),
        (lambda: knife(shop=HoleRules()), "it must be written like shop=Shop("),
        (lambda: Grind(bevel=17.0, plunge=Plunge(x=9.0)), "it must be written like bevel=FlatBevel("),  # type: ignore[arg-type]
        (lambda: Grind(bevel=FACE, plunge=9.5), "grind: plunge = 9.5: it must be written like plunge=Plunge("),  # type: ignore[arg-type]
        (
            lambda: ConvexEdge(under=17.0, height=3.0, edge_thickness=0.2, bulge=0.02),  # type: ignore[arg-type]
            "convex edge: under = 17.0: it must be written like under=FlatBevel(",
        ),
        (lambda: BevelToLine(line=[(0, 0)], edge_thickness=0.4), "it must be written like line=spline("),  # type: ignore[arg-type]
        (lambda: MarkZone(x=1.0, y=1.0, width=2.0, height=2.0, text=1), "mark zone: text = 1: it must be written"),  # type: ignore[arg-type]
        (lambda: Shop(contact_wheels=254), "it must be written like contact_wheels=(25.4, 254.0)"),  # type: ignore[arg-type]
        (lambda: Shop(drills=("1/4",)), "it must be written like drills=drill_index("),  # type: ignore[arg-type]
        (lambda: Stock(steel="1084", thickness=4.0, taper=1.2), "it must be written like taper=(("),  # type: ignore[arg-type]
        (
            lambda: Stock(steel="1084", thickness="5/32 in"),  # type: ignore[arg-type]
            "stock: thickness = '5/32 in': it must be a number > 0, not a text; length('5/32 in') reads one",
        ),
        (lambda: Stock(steel=1.4116, thickness=4.0), "material = 1.4116: it must be a name in quotes"),  # type: ignore[arg-type]
        (lambda: Stock(steel="Juglans nigra", thickness=4.0), "stock: steel = Juglans nigra: it must be a steel or"),
        (
            lambda: join_halves(profiles.get("petty"), profiles.get("swelled")()),  # type: ignore[arg-type]
            "blade = Petty: it must be called: write Petty()",
        ),
    ],
)
def test_one_sentence_with_an_example(make: Callable[[], object], message: str) -> None:
    with pytest.raises(BladegeomError) as caught:
        make()
    assert isinstance(caught.value, ParameterError)
    assert message in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_list_of_faces_is_taken() -> None:
    assert Grind(bevel=[FACE], plunge=Plunge(x=9.0)).faces == (FACE,)  # type: ignore[arg-type]


def test_a_common_name_is_answered_with_what_it_may_mean() -> None:
    with pytest.raises(UnknownNameError) as caught:
        material("brass")
    assert {"C26000", "C36000"} <= set(str(caught.value).replace(",", " ").replace("'", " ").split())


def test_a_message_lists_a_dozen_names_at_most() -> None:
    error = UnknownNameError("drill", "zzz", [f"name {i}" for i in range(40)])
    assert str(error).endswith("and 28 more")
    assert str(error).count("name") == 12
