"""Values of the wrong kind: each answer says what was written, and how it is written right."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from typing import Any

import pytest
from refusals import assert_refused
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
    ("make", "told"),
    [
        (lambda: knife(scales="NEMA L"), "knife: scales | scales=Scales"),
        (
            lambda: knife(fasteners="304"),
            "knife: fasteners | (Fastener(",
        ),
        (
            lambda: knife(fasteners=Pin),
            "knife: fasteners | (Fastener(",
        ),
        (
            lambda: knife(fasteners=PIN),
            "knife: fasteners | (Fastener(",
        ),
        (
            lambda: knife(fasteners=(PIN,)),
            "knife: fasteners | (Fastener(",
        ),
        (lambda: knife(handle_rules=HoleRules()), "knife: handle_rules | handle_rules=HandleRules("),
        (
            lambda: Fastener(x=-30.0, y=-12.0, hardware="304"),  # type: ignore[arg-type]
            "fastener: hardware | Pin",
        ),
        (
            lambda: knife(scales=Scales(slab="NEMA L", thickness=7.0, rounding=2.0)),  # type: ignore[arg-type]
            "scales: rounding | rounding=Rounding(",
        ),
        (lambda: knife(stock="1.4116"), "knife: stock | stock=Stock"),
        (lambda: knife(outline=profiles.get("petty")()), "knife: outline | outline=join_halves("),
        (lambda: knife(grind=FACE), "knife: grind | grind=Grind("),
        (lambda: knife(revision=2), "knife: revision"),
        (lambda: knife(name=None), "knife: name"),
        (lambda: knife(holes=HOLE), "knife: holes | holes=(Hole( | ,), with its comma"),
        (lambda: knife(holes=None), "knife: holes | holes=(Hole( | ,), with its comma"),
        (lambda: knife(holes=("1/4",)), "knife: holes | holes=(Hole( | ,), with its comma"),
        (lambda: knife(zones=("texture",)), "knife: zones | TextureZone( | ,), with its comma"),
        (lambda: knife(rules="strict"), "knife: rules | rules=HoleRules"),
        (lambda: knife(shop=HoleRules()), "knife: shop | shop=Shop("),
        (lambda: Grind(bevel=17.0, plunge=Plunge(x=9.0)), "grind: bevel | bevel=FlatBevel("),  # type: ignore[arg-type]
        (lambda: Grind(bevel=FACE, plunge=9.5), "grind: plunge | plunge=Plunge"),  # type: ignore[arg-type]
        (
            lambda: ConvexEdge(under=17.0, height=3.0, edge_thickness=0.2, bulge=0.02),  # type: ignore[arg-type]
            "convex edge: under | under=FlatBevel",
        ),
        (lambda: BevelToLine(line=[(0, 0)], edge_thickness=0.4), "bevel to a line: line | line=spline("),  # type: ignore[arg-type]
        (lambda: MarkZone(x=1.0, y=1.0, width=2.0, height=2.0, text=1), "mark zone: text"),  # type: ignore[arg-type]
        (lambda: Shop(contact_wheels=254), "shop: contact_wheels | contact_wheels=(25.4, 254.0)"),  # type: ignore[arg-type]
        (lambda: Shop(drills=("1/4",)), "shop: drills | drills=drill_index("),  # type: ignore[arg-type]
        (lambda: Stock(steel="1084", thickness=4.0, taper=1.2), "stock: taper | taper=(("),  # type: ignore[arg-type]
        (
            lambda: Stock(steel="1084", thickness="5/32 in"),  # type: ignore[arg-type]
            "stock: thickness | length(",
        ),
        (lambda: Stock(steel=1.4116, thickness=4.0), "material"),  # type: ignore[arg-type]
        (lambda: Stock(steel="Juglans nigra", thickness=4.0), "stock: steel"),
        (
            lambda: join_halves(profiles.get("petty"), profiles.get("swelled")()),  # type: ignore[arg-type]
            "blade",
        ),
    ],
)
def test_one_sentence_with_an_example(make: Callable[[], object], told: str) -> None:
    with pytest.raises(BladegeomError) as caught:
        make()
    assert isinstance(caught.value, ParameterError)
    assert_refused(caught.value, told)
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
