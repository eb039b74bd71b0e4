"""Every rule of every register says what it is called, what it looks at and all that it may find; no list to extend."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, get_args

import any_knives
import pytest
from draws import draws
from hypothesis import given, reject
from hypothesis import strategies as st
from specimens import bar_outline, drop_point, ground

from bladegeom import Hole
from bladegeom.balance.variant_errors import errors_following
from bladegeom.curves.build import line
from bladegeom.findings.check import check_rules
from bladegeom.knife.bevels.flat import AngledBevel, BevelToLine, FlatBevel
from bladegeom.knife.bevels.round import HollowBevel
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, DesignPart, Rule, rule, rules_in
from bladegeom.quantities.errors import BladegeomError, UndeclaredCodeError

TESTS = Path(__file__).resolve().parent
RULES = check_rules()
ALL = (
    *RULES,
    *(
        each_rule
        for room in ("cutfile", "order", "signoff", "workshop", "price", "agreement")
        for each_rule in rules_in(f"bladegeom.{room}")
    ),
)


@cache
def all_tests() -> str:
    """The text of all tests but this one."""
    return "\n".join(path.read_text() for path in sorted(TESTS.rglob("*.py")) if path != Path(__file__).resolve())


@pytest.mark.parametrize("other_rule", ALL, ids=lambda written: written.name)
def test_a_rule_declares_itself(other_rule: Rule[Any]) -> None:
    assert re.fullmatch(r"[a-z ]+", other_rule.name)
    assert other_rule.words.endswith(".")
    assert other_rule.codes
    for code in other_rule.codes:
        assert re.fullmatch(r"[a-z]+(-[a-z]+)*", code.name)
        assert set(code.severities) <= {"error", "warning", "note"}
        assert code.severities
        assert code.means
    assert len({code.name for code in other_rule.codes}) == len(other_rule.codes)


@pytest.mark.parametrize("other_rule", ALL, ids=lambda written: written.name)
def test_a_test_asks_for_each_of_its_codes(other_rule: Rule[Any]) -> None:
    """Rules raise what they find undeclared, so that the tests that find it show the declarations to be whole."""
    names = [other_rule.look.__name__] if len(other_rule.codes) == 1 else []
    assert not [
        code.name for code in other_rule.codes if not any(name in all_tests() for name in (f'"{code.name}"', *names))
    ]


ONE_FILE = """
from bladegeom.knife.finding import Finding
from bladegeom.knife.rule import Code, rule


@rule(Code("too-pretty", ("note", "error"), "it is too pretty to use"), follows=("bevel",))
def check_beauty(knife):
    \"\"\"Whether anybody dares to cut with it.\"\"\"
    for severity in ("error", "note"):
        yield Finding(code="too-pretty", severity=severity, part="knife", message="use it all the same")
"""


def test_a_rule_takes_one_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is found, called, and counted among the errors of what it follows, with nothing else written anywhere."""
    room = tmp_path / "room_of_one"
    room.mkdir()
    (room / "__init__.py").write_text('"""A room."""')
    (room / "beauty.py").write_text(ONE_FILE)
    (room / "user.py").write_text("from room_of_one.beauty import check_beauty\n")
    monkeypatch.syspath_prepend(str(tmp_path))
    (found,) = rules_in("room_of_one")
    assert (found.name, found.words) == ("beauty", "Whether anybody dares to cut with it.")
    assert [finding.severity for finding in found(drop_point())] == ["error", "note"]
    assert list(found.errors_of(drop_point())) == ["too-pretty"]


def test_what_is_found_undeclared_is_a_mistake_of_the_rule() -> None:
    def look(code: str, severity: Any) -> Iterator[Finding]:
        yield Finding(code=code, severity=severity, part="x", message="x")

    declared = rule(Code("x", ("note",), "x"))(look)
    assert len(list(declared("x", "note"))) == 1
    for code, severity in (("y", "note"), ("x", "error")):
        with pytest.raises(UndeclaredCodeError, match=rf"'{code}' \({severity}\)"):
            list(declared(code, severity))
    assert len(list(rule(passes_on="elsewhere")(look)("y", "error"))) == 1


def test_every_part_that_a_change_touches_is_followed_by_a_rule() -> None:
    for part in get_args(DesignPart):
        assert any(part in each_rule.follows for each_rule in RULES)
    # A hole beside the outline is an error of the holes and of nothing else.
    knife = ground(bar_outline(), holes=(Hole(x=-50.0, y=-4.0, diameter=3.0, purpose="lightening"),))
    errors = {part: list(errors_following(knife, part)) for part in get_args(DesignPart)}
    assert errors == {"outline": [], "bevel": [], "holes": ["rim"], "stack": []}


def quickly_and_by_looking(knife: Knife) -> tuple[list[str], list[str]]:
    """Codes of the errors of all rules that tell them more quickly than by looking, and of the same by looking."""
    quick_rules = [each_rule for each_rule in RULES if each_rule.errors is not None]
    assert len(quick_rules) >= 3
    looked = (finding for each_rule in quick_rules for finding in each_rule(knife))
    return (
        sorted(code for each_rule in quick_rules for code in each_rule.errors_of(knife)),
        sorted(finding.code for finding in looked if finding.severity == "error"),
    )


@draws(20)
@given(st.data())
def test_errors_told_quickly_are_those_of_looking(data: st.DataObject) -> None:
    try:
        knife = data.draw(any_knives.knives())
    except BladegeomError:
        reject()
    quickly, looking = quickly_and_by_looking(knife)
    assert quickly == looking


@pytest.mark.parametrize(
    ("bevel", "code"),
    [
        (HollowBevel(wheel_diameter=60.0, height=18.0, edge_thickness=0.5), "no-steel-left"),
        (FlatBevel(height=100.0, edge_thickness=0.5), "bevel-above-blade"),
        (BevelToLine(line=line((10.0, -40.0), (100.0, -40.0)), edge_thickness=0.4), "edge-not-ground"),
        (AngledBevel(angle_deg=12.0, edge_thickness=0.5), ""),
    ],
)
def test_errors_of_the_ground_steel_are_told_quickly_too(bevel: Any, code: str) -> None:
    knife = ground(bar_outline())
    knife = dataclasses.replace(knife, grind=dataclasses.replace(knife.grind, bevel=bevel))
    quickly, looking = quickly_and_by_looking(knife)
    assert quickly == looking
    assert set(quickly) == ({code} if code else set())
