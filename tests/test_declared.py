"""Values with checked fields: a frozen dataclass like any other, and what each annotation lets through."""

from __future__ import annotations

import copy
import dataclasses
import datetime
import json
import math
import pickle
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any, Literal

import numpy as np
import pytest
from refusals import assert_refused
from specimens import drop_point

from bladegeom import Design, Knife, Scales, report
from bladegeom.handle.section import handle_sections
from bladegeom.knife.revision_id import revision_id
from bladegeom.quantities.declared import checked, declared
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_checks import check_of
from bladegeom.quantities.field_rules import (
    Above,
    AtMost,
    Becomes,
    Between,
    Coordinate,
    Count,
    Date,
    Distance,
    InUnit,
    Items,
    Length,
    LengthOrText,
    Like,
    Point,
    Says,
)
from bladegeom.quantities.told import told


class Grams(float):
    pass


@declared("ring", example="Ring(bore=6.0)")
class Ring:
    bore: Length
    wall: Distance = 1.0
    marks: tuple[str, ...] = ()
    note: Any = None

    def __post_init__(self) -> None:
        if self.wall > self.bore:
            raise ParameterError("ring: wall", self.wall, "be at most the bore")


@declared("ring {name}", slots=True)
class NamedRing:
    name: Annotated[str, Says("front")]
    bore: Length
    rings: tuple[Ring, ...] = ()
    next: NamedRing | None = None


@dataclasses.dataclass(frozen=True, kw_only=True)
class Plain:
    bore: float
    wall: float = 1.0
    marks: tuple[str, ...] = ()
    note: Any = None


def test_it_is_a_dataclass_like_any_other() -> None:
    """The standard library's own decorator is the oracle."""
    ring, plain = Ring(bore=6.0, marks=("A",)), Plain(bore=6.0, marks=("A",))
    assert repr(ring) == repr(plain).replace("Plain", "Ring")
    assert dataclasses.asdict(ring) == dataclasses.asdict(plain)
    assert [f.name for f in dataclasses.fields(ring)] == [f.name for f in dataclasses.fields(plain)]
    assert hash(ring) == hash(plain)
    assert ring == Ring(bore=6.0, marks=("A",)) != Ring(bore=7.0, marks=("A",))
    assert pickle.loads(pickle.dumps(ring)) == ring
    assert dataclasses.replace(ring, wall=2.0).wall == 2.0
    with pytest.raises(dataclasses.FrozenInstanceError):
        ring.bore = 1.0  # type: ignore[misc]
    with pytest.raises(TypeError):
        Ring(6.0)  # type: ignore[call-arg]


def test_slots() -> None:
    ring = NamedRing(name="front", bore=6.0, next=NamedRing(name="rear", bore=5.0))
    assert not hasattr(ring, "__dict__")
    assert pickle.loads(pickle.dumps(ring)) == ring


@pytest.mark.parametrize("value", [6, np.int64(6), np.float32(6.0), np.float64(6.0), Fraction(6), Grams(6.0)])
def test_a_number_field_keeps_a_float_whatever_kind_of_number_was_written(value: Any) -> None:
    ring = Ring(bore=value)
    assert type(ring.bore) is float
    assert repr(ring) == repr(Ring(bore=6.0))
    assert json.dumps(dataclasses.asdict(ring)) == json.dumps(dataclasses.asdict(Ring(bore=6.0)))


def test_equal_knives_have_the_same_mark() -> None:
    """Equality by the standard library's dataclass is the oracle."""
    knife = drop_point(thickness=4.0)
    for same in (4, np.float64(4.0), np.float32(4.0), np.int64(4), Fraction(4)):
        twin = dataclasses.replace(knife, stock=dataclasses.replace(knife.stock, thickness=same))  # type: ignore[arg-type]
        assert twin == knife
        assert revision_id(twin) == revision_id(knife)


@pytest.mark.parametrize("copied", [copy.deepcopy, copy.copy, lambda value: pickle.loads(pickle.dumps(value))])
def test_a_knife_that_was_asked_everything_is_copied_and_sent_to_other_processes(copied: Any) -> None:
    scales = Scales(slab="NEMA L", thickness=7.0, swell=((-110.0, 5.0), (-60.0, 7.0), (0.0, 6.0)))
    design = Design(dataclasses.replace(drop_point(), scales=scales))
    told = report(design)
    again = copied(design.knife)
    assert again == design.knife
    assert again.__dict__.keys() == {field.name for field in dataclasses.fields(Knife)}
    assert report(Design(again)) == told
    assert report(copied(design)) == told


def test_nobody_can_change_what_a_knife_remembers() -> None:
    knife = dataclasses.replace(drop_point(), scales=Scales(slab="NEMA L", thickness=7.0))
    (section, *_), section_again = handle_sections(knife), handle_sections(dataclasses.replace(knife))[0]
    half = section.half
    with pytest.raises(ValueError, match="read-only"):
        half *= 2.0
    assert np.array_equal(section.half, section_again.half)
    assert knife.scale_face is not None
    assert not knife.scale_face.border.vertices.flags.writeable
    parameters = {"length": 1.0}
    design = Design(knife, parameters=parameters)
    parameters["length"] = 2.0
    assert report(design)["parameters"] == {"length": 1.0}


HOLDS_ITSELF: list[object] = []
HOLDS_ITSELF.append(HOLDS_ITSELF)


ODD: dict[str, object] = {
    "more than a float holds": 10**400,
    "less than a float holds": -(10**400),
    "more digits than Python writes": 10**5000,
    "fraction": Fraction(10**400, 3),
    "row in itself": HOLDS_ITSELF,
    "array of two lines": np.zeros((2, 2)),
    "long array": np.arange(5000.0),
    "long bytes": b"x" * 3000,
}


@pytest.mark.parametrize("name", ODD)
@pytest.mark.parametrize("kind", [float, Length, Coordinate, LengthOrText, Count, str, Point, tuple[float, ...], Ring])
def test_whatever_is_written_is_refused_in_one_short_line(kind: Any, name: str) -> None:
    value = ODD[name]
    with pytest.raises(ParameterError) as caught:
        checked("thing: field", value, kind)
    assert "\n" not in str(caught.value)
    assert len(str(caught.value)) < 400


def test_a_long_row_is_told_by_its_first_items() -> None:
    message = told(tuple(range(40)))
    assert message.startswith("(0, 1, 2,")
    assert message.endswith("and 28 more)")
    assert told([10**20]) == "(about 10 to the power of 20,)"
    assert told("two  blanks") == "'two  blanks'"


def test_rules_between_fields_come_after_the_fields() -> None:
    with pytest.raises(ParameterError) as caught:
        Ring(bore=6.0, wall=7.0)
    assert_refused(caught.value, "ring: wall | bore")
    with pytest.raises(ParameterError) as caught:
        Ring(bore=-1.0, wall=7.0)
    assert_refused(caught.value, "ring: bore | 0")


def test_an_error_tells_its_parts() -> None:
    with pytest.raises(ParameterError) as caught:
        Ring(bore=-1.0)
    error = caught.value
    assert (error.part, error.field, error.value, error.limit) == ("ring", "bore", -1.0, Above(0))
    with pytest.raises(ParameterError) as caught:
        NamedRing(name="front", bore=math.nan)
    assert caught.value.name == "ring front: bore"
    with pytest.raises(ParameterError) as caught:
        NamedRing(name=" ", bore=1.0)
    assert caught.value.name == "ring: name"


def test_changed_copies_are_checked_too() -> None:
    with pytest.raises(ParameterError, match="ring: bore"):
        dataclasses.replace(Ring(bore=6.0), bore=0.0)


KEPT: list[tuple[Any, object, object]] = [
    (float, -1.5, -1.5),
    (Coordinate, 0, 0.0),
    (Distance, 0.0, 0.0),
    (Annotated[float, Between(0, 1)], 1.0, 1.0),
    (Annotated[float, Above(0), AtMost(5)], 5.0, 5.0),
    (Length | None, None, None),
    (Count, 3, 3),
    (bool, False, False),
    (str, "", ""),
    (Literal["a", "b"], "b", "b"),
    (Literal["a"] | Literal["b"], "b", "b"),
    (tuple[float, ...], [1.0, 2.0], (1.0, 2.0)),
    (Point, [1, 2.5], (1.0, 2.5)),
    (tuple[Point, ...], [[1, 2]], ((1, 2),)),
    (Ring | tuple[Ring, ...], Ring(bore=1.0), (Ring(bore=1.0),)),
    (Ring | tuple[Ring, ...], [Ring(bore=1.0)], (Ring(bore=1.0),)),
    (Date, "2026-03-02", datetime.date(2026, 3, 2)),
    (Date, datetime.date(2026, 3, 2), datetime.date(2026, 3, 2)),
    (LengthOrText, "1 in", 25.4),
    (LengthOrText, 88, 88.0),
    (Annotated[Decimal, Between(0, 10)], Decimal("9.99"), Decimal("9.99")),
    (Annotated[str, Becomes(str.strip)], " a ", "a"),
    (float | Point, (1.0, 2.0), (1.0, 2.0)),
    (Any, Ring, Ring),
]


@pytest.mark.parametrize(("kind", "value", "kept"), KEPT)
def test_kept(kind: Any, value: object, kept: object) -> None:
    found = checked("thing: field", value, kind)
    assert found == kept
    assert type(found) is type(kept)


REFUSED: list[tuple[Any, object, str]] = [
    (float, True, ""),
    (float, "1.5", ""),
    (float, math.inf, ""),
    (float, Decimal("1.5"), ""),
    (Length, "5 mm", " | length('5 mm')"),
    (Length, 0, " | 0 mm"),
    (Distance, -1e-9, " | 0 mm"),
    (Distance, math.nan, " | 0"),
    (Annotated[float, Between(0, 1)], 1.0000001, " | 0 | 1"),
    (Annotated[float, Above(0), AtMost(5), InUnit("g")], 5.1, " | 0 g | 5 g"),
    (Count, 0, " | 1"),
    (Count, 1.0, " | 1"),
    (Count, True, ""),
    (bool, 1, ""),
    (str, None, ""),
    (Annotated[str, Says("front")], 3, " | front"),
    (Annotated[str, Says("front")], " \t", " | front"),
    (Literal["a", "b"], "c", " | 'a' | 'b'"),
    (Literal["a", "b"], ["a"], ""),
    (Literal["a"] | Literal["b"], "c", " | 'a' | 'b'"),
    (Ring, Ring, " | Ring(bore=6.0)"),
    (Ring | None, 3, " | Ring(bore=6.0)"),
    (tuple[Ring, ...], Ring(bore=1.0), " | (Ring(bore=6.0),), with its comma"),
    (tuple[Ring, ...], (3,), " | (Ring(bore=6.0),), with its comma"),
    (Annotated[tuple[float, ...], Like("(1.0, 2.0)")], 3.0, " | (1.0, 2.0)"),
    (Annotated[tuple[float, ...], Items(least=2)], (3.0,), " | 2"),
    (Annotated[tuple[float, ...], Items(most=2, way_out="take two")], (3.0,) * 3, " | 2 | 3 | take two"),
    (Point, (1.0, 2.0, 3.0), ""),
    (Point, (1.0, math.nan), ""),
    (Date, "2 March", " | 2026"),
    (Date, datetime.datetime(2026, 3, 2, 10, 0), " | 2026"),
    (Date, 2026, " | 2026"),
    (LengthOrText, "1 furlong", " | 'furlong'"),
    (LengthOrText, "-1 mm", " | 0 mm"),
    (Annotated[Decimal, Between(0, 10)], 9.99, " | Decimal("),
    (Annotated[Decimal, Between(0, 10)], Decimal("NaN"), ""),
    (Annotated[Decimal, Above(0)], Decimal("Infinity"), " | finite"),
    (Decimal, Decimal("-Infinity"), ""),
    (Annotated[Decimal, Between(0, 10)], Decimal("10.01"), " | 0 | 10"),
    (float | Point, "tip", ""),
]


@pytest.mark.parametrize(("kind", "value", "told"), REFUSED)
def test_refused(kind: Any, value: object, told: str) -> None:
    with pytest.raises(ParameterError) as caught:
        checked("thing: field", value, kind)
    assert_refused(caught.value, f"thing: field{told}")


def test_an_item_is_told_by_its_number() -> None:
    with pytest.raises(ParameterError) as caught:
        checked("shop: wheels", (25.4, -3.0), tuple[Length, ...])
    assert (caught.value.name, caught.value.field, caught.value.value) == ("shop: number 2 of wheels", "wheels", -3.0)
    with pytest.raises(ParameterError) as caught:
        checked("bar: taper", ((1.0, 2.0), (2.0, -3.0)), tuple[tuple[Coordinate, Length], ...])
    assert (caught.value.name, caught.value.value) == ("bar: number 2 of taper", -3.0)


@pytest.mark.parametrize("kind", [list[float], 5, "float"])
def test_an_annotation_that_says_nothing_is_a_mistake_of_ours(kind: Any) -> None:
    with pytest.raises(TypeError, match="no value can be checked against"):
        check_of(kind)
