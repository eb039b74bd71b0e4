"""Values with checked fields: a frozen dataclass like any other, and what each annotation lets through."""

from __future__ import annotations

import dataclasses
import datetime
import math
import pickle
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any, Literal

import numpy as np
import pytest
from refusals import assert_refused

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


def test_numbers_stay_what_they_are() -> None:
    for value in (6, np.float64(6.0), Fraction(13, 2)):
        kept = Ring(bore=value).bore  # type: ignore[arg-type]
        assert kept is value
    assert repr(Ring(bore=6)).startswith("Ring(bore=6,")


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
    (Coordinate, 0, 0),
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
    (Point, [1, 2.5], (1, 2.5)),
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
