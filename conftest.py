"""What the examples in docstrings may use: one knife, its design, and a folder that is thrown away.

And how tests are collected quickly.
"""

from __future__ import annotations

import dataclasses
import gc
from collections.abc import Generator
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import pytest

from bladegeom import (
    Design,
    FlatBevel,
    Grind,
    Knife,
    Pin,
    Plunge,
    Scales,
    Stock,
    add_fasteners,
    add_lightening_row,
    inch,
    join_halves,
)
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.swelled import Swelled

collect_ignore_glob = [] if find_spec("OCP") else ["bladegeom/breps/*", "bladegeom/writers/step.py"]
"""What the kernel of an extra is needed for, examples in docstrings too."""


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Generator[None, object, object]:
    """All that collecting makes stays; to look through it for what might go would take a third of the time."""
    gc.disable()
    try:
        return (yield)
    finally:
        gc.freeze()
        gc.enable()


@cache
def example_design() -> Design:
    """A drop point with two pins, slabs of laminate and a row of lightening holes; the same for all examples."""
    bare = Knife(
        name="Rigging knife",
        outline=join_halves(DropPoint(), Swelled()),
        stock=Stock(steel="1.4116", thickness=3.5),
        grind=Grind(bevel=FlatBevel(height=17.0, edge_thickness=0.4), plunge=Plunge(x=3.0, lean_deg=0.0, radius=3.0)),
        scales=Scales(slab="NEMA L", thickness=7.0),
    )
    pinned = add_fasteners(bare, Pin(rod="C26000", diameter=inch("1/4")), count=2)
    return Design(dataclasses.replace(add_lightening_row(pinned), revision="A"))


@pytest.fixture(autouse=True)
def _example_names(request: pytest.FixtureRequest) -> None:
    """``knife``, ``design`` and ``folder`` in every docstring; other tests build their own."""
    if isinstance(request.node, pytest.DoctestItem):
        design = example_design()
        folder: Path = request.getfixturevalue("tmp_path")
        request.getfixturevalue("doctest_namespace").update(knife=design.knife, design=design, folder=folder)
