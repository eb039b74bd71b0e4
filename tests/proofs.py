"""Proofs that several tests read, each made once."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from functools import cache
from typing import Any

import specimens

from bladegeom.design.design import Design
from bladegeom.design.report import report
from bladegeom.knife.hole import Hole
from bladegeom.knife.knife import Knife
from bladegeom.knife.scales import Scales
from bladegeom.placing.place import add_fasteners, add_lightening_row
from bladegeom.writers.proof import proof

NASTY = 'Tom & <script>alert("x")</script> </style> \\ "; } \u5305\u4e01 \x00'
"""A name that breaks out of every place where it is not escaped."""

PARAMETERS = {"blade_length": 110.0, "note": "<b onclick='x'>"}


@cache
def good() -> Knife:
    """A drop point with scales, pins and lightening holes; nothing wrong with it. 228 mm: it prints on A4."""
    knife = specimens.drop_point(scales=Scales(slab="NEMA L", thickness=7.0))
    return dataclasses.replace(
        add_lightening_row(add_fasteners(knife, specimens.pins("1/4", rod="C26000"), count=2)), name="Rigging knife"
    )


@cache
def bad() -> Knife:
    """The same with a name that is no name, a hole beside the steel and one too near to the border."""
    wrong = (
        Hole(x=-60.0, y=-60.0, diameter=6.0, purpose="lightening"),
        Hole(x=-30.0, y=-4.0, diameter=5.0, purpose="lightening"),
    )
    return dataclasses.replace(good(), name=NASTY, holes=(*good().holes, *wrong))


@cache
def long() -> Knife:
    """A chef's knife without holes and scales, too long for A4."""
    return specimens.chef()


@cache
def told(make: Callable[[], Knife]) -> dict[str, Any]:
    """The report of one of them."""
    knife = make()
    return report(Design(knife, parameters=PARAMETERS))


@cache
def page(make: Callable[[], Knife], *overridden: str) -> str:
    """The proof of one of them, with the codes of errors that are overridden."""
    knife = make()
    return proof(Design(knife), {**told(make), "overridden": list(overridden)}).decode()
