"""The table of what a customer can see: every declared field stands in it once, with its reason."""

from __future__ import annotations

import csv
import dataclasses
import inspect
import typing
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.resources import files
from typing import ClassVar

import pytest
from agreements import SIGNED, agreed_design, put
from press_rivet import PressRivet

import bladegeom
from bladegeom import ByHeights, Compared, Fastener, Knife, Operation, Order, SamplePoints, Work
from bladegeom.agreement.sights import ANY, KINDS, NUMBERED, PLACE, SHOWS, Sight, sight_of, sights
from bladegeom.agreement.signed import Signed
from bladegeom.agreement.state import OPEN_RING, Felt
from bladegeom.curves.curve import FloatArray
from bladegeom.drilling.row import CardRow
from bladegeom.knife.fastener import DeclaredHardware
from bladegeom.order.measures import measures
from bladegeom.order.order_ways import FEATURES

HARDWARE = ("Pin", "Tube", "ShoulderedBolt", "StandoffScrews")
BEVELS = ("FlatBevel", "AngledBevel", "FullFlat", "BevelToLine", "HollowBevel", "ConvexBevel", "ConvexEdge")
PIECES = {"pin", "peened pin", "glued pin", "lanyard tube", "shouldered bolt", "screws"}
PARTS = {"steel", "scales", "liners", "fasteners", *PIECES, "surface", "etch"}
"""What a MadeOf can name, and steps of the route that a Finish can."""


def classes_in(hint: object) -> Iterator[type]:
    """Every class of the library that an annotation is made of."""
    if inspect.isclass(hint) and typing.get_origin(hint) is None and hint.__module__.startswith("bladegeom."):
        yield hint
    for part in typing.get_args(hint):
        yield from classes_in(part)


def reached() -> set[type]:
    """Classes of all values that a knife, an order and the work can hold."""
    left: list[type] = [Knife, Order, Work, Operation, *(getattr(bladegeom, name) for name in (*HARDWARE, *BEVELS))]
    found: set[type] = set()
    while left:
        kind = left.pop()
        if kind in found or kind is CardRow or not hasattr(kind, "__dataclass_fields__"):
            continue
        found.add(kind)
        # Rows of a drill card are derived, and none of a maker's own steps is declared with them.
        left += [inner for hint in typing.get_type_hints(kind).values() for inner in classes_in(hint)]
    return found - {DeclaredHardware}


def test_every_declared_field_stands_in_one_row() -> None:
    declared = {(kind.__name__, field.name) for kind in reached() for field in dataclasses.fields(kind)}
    besides = {(Felt.__name__, field.name) for field in dataclasses.fields(Felt)} | {
        ("AgreedPrice", "amount"),
        ("AgreedPrice", "currency"),
        ("Signed", "terms"),
        (Fastener.__name__, OPEN_RING),
    }
    assert declared | besides == set(sights())
    text = (files("bladegeom.quantities") / "data" / "what_shows.csv").read_text(encoding="utf-8")
    rows = Counter((row["of"], field) for row in csv.DictReader(text.splitlines()) for field in row["fields"].split())
    assert set(rows.values()) == {1}


def test_every_kind_of_hardware_and_bevel_of_the_library_is_looked_at() -> None:
    def below(kind: type) -> Iterator[type]:
        inner: type
        for inner in kind.__subclasses__():
            yield inner
            yield from below(inner)

    made = {
        kind.__name__
        for kind in below(DeclaredHardware)
        if kind.__module__.startswith("bladegeom.") and not inspect.isabstract(kind)
    }
    assert made == set(HARDWARE)
    folder = files("bladegeom.knife") / "bevels"
    texts = [path.read_text(encoding="utf-8") for path in folder.iterdir() if path.name.endswith(".py")]
    assert sum(text.count("\n@declared(") for text in texts) == len(BEVELS)


@pytest.mark.parametrize("row", sights().values(), ids=lambda row: f"{row.of}.{row.field}")
def test_a_row_says_all_that_it_must(row: Sight) -> None:
    assert row.shows in SHOWS
    assert row.kind in KINDS
    assert row.matched in ("", ANY, NUMBERED, PLACE)
    assert row.unit in ("", "mm", "g", "degrees", "HRC")
    assert row.why
    assert row.asked <= {*measures(), *FEATURES, *PARTS}


def test_a_field_that_nobody_has_judged_counts_as_seen() -> None:
    assert sight_of("OwnThing", "colour").shows == "inside"


@dataclass(frozen=True, kw_only=True)
class Parabola(ByHeights):
    """A bevel of a maker's own."""

    depth: float
    height: float
    edge_thickness: float
    kind: ClassVar[str] = "parabola"

    def surface(self, at: SamplePoints) -> FloatArray:
        low, share = at.edge_height(self.edge_thickness), at.from_edge / self.height
        return low + (at.stock - low) * share - 4 * self.depth * share * (1 - share)


def test_a_bevel_and_hardware_of_the_makers_own_are_seen_too() -> None:
    bevel = Parabola(depth=0.2, height=16.0, edge_thickness=0.4)
    rivet = PressRivet(
        metal="C36000", barrel=5.0, post=4.0, barrel_length=9.0, head_diameter=8.0, head_height=2.0, head_left=1.0
    )
    own = put(agreed_design(), "knife.grind.bevel", bevel)
    own = put(own, "knife.fasteners", (*own.knife.fasteners, Fastener(x=-60.0, y=-14.0, hardware=rivet)))
    own = dataclasses.replace(own, agreed=own.agreeing(SIGNED))
    for path, value in (
        ("knife.grind.bevel.0.depth", 0.25),
        ("knife.fasteners.3.hardware.head_diameter", 8.5),
    ):
        changed = put(own, path, value)
        assert isinstance(changed.agreement, Compared)
        assert changed.agreement.seen, path


def test_a_signature_has_no_field_that_nobody_has_thought_of() -> None:
    assert {field.name for field in dataclasses.fields(Signed)} == {
        "customer",
        "maker",
        "date",
        "how",
        "answers",
        "price",
        "terms",
        "note",
    }
