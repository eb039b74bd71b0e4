"""Nothing that an order tells is lost on the way to the paper, and nothing is called complete that is not."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from functools import cache
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from orders import asked, knife, order, pairs, rich

from bladegeom import Order, check_order, landings
from bladegeom.signoff.order_lines import is_complete, traceability_lines

STEPS = ("etch", "heat_treat", "surface")


def lines(wanted: Order) -> tuple[str, ...]:
    return traceability_lines(wanted, landings(wanted, knife(), STEPS), check_order(wanted, knife(), STEPS))


def untold(value: Any) -> Iterator[tuple[str, Any]]:
    """The value again and again, each time with one fact left out, and the name of that fact."""
    for field in dataclasses.fields(value):
        if field.default is not dataclasses.MISSING and getattr(value, field.name) != field.default:
            yield field.name, dataclasses.replace(value, **{field.name: field.default})


def without_one_fact() -> Iterator[tuple[str, Order]]:
    told = rich()
    yield from untold(told)
    for part in ("sheath", "payment", "delivery", "lead"):
        for name, less in untold(getattr(told, part)):
            yield f"{part}.{name}", dataclasses.replace(told, **{part: less})
    for part in ("references", "own_materials", "changes"):
        values = getattr(told, part)
        for name, less in untold(values[0]):
            fewer: dict[str, Any] = {part: (less, *values[1:])}
            yield f"{part}.{name}", dataclasses.replace(told, **fewer)


@cache
def rich_lines() -> tuple[str, ...]:
    return lines(rich())


FACTS = list(without_one_fact())


def test_the_rich_order_tells_all_of_them() -> None:
    told = {field.name for field in dataclasses.fields(Order) if field.default is not dataclasses.MISSING}
    assert told <= {name for name, _ in FACTS}


def test_every_fact_reaches_the_paper() -> None:
    for name, less in FACTS:
        assert lines(less) != rich_lines(), name


PAIRS = tuple(pairs())


@given(chosen=st.lists(st.integers(0, len(PAIRS) - 1), min_size=1, max_size=4), sound=st.booleans())
def test_complete_only_where_everything_lands(chosen: list[int], *, sound: bool) -> None:
    ways = [
        requirement
        for pair in (PAIRS[i] for i in chosen)
        for requirement in (pair.sound if sound else pair.faulty).requirements
    ]
    wanted = order(
        *(dataclasses.replace(requirement, number=i + 1, since=None) for i, requirement in enumerate(ways)), asked(99)
    )
    landed, findings = landings(wanted, knife(), STEPS), check_order(wanted, knife(), STEPS)
    last = traceability_lines(wanted, landed, findings)[-1]
    unbound = any(requirement.weight == "open" or not requirement.ways for requirement in wanted.requirements)
    errors = any(finding.severity == "error" for finding in findings)
    assert last.startswith("complete") == is_complete(landed, findings)
    assert not (last.startswith("complete") and (unbound or errors))
    assert {landing.requirement.number for landing in landed} == {
        requirement.number for requirement in wanted.requirements
    }
