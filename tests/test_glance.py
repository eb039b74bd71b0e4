"""The report at a glance and by section: it fits a screen, says what is so, and computes no more than it tells."""

from __future__ import annotations

import dataclasses
import re
from functools import partial
from pathlib import Path
from typing import Any

import any_knives
import pytest
from draws import draws, quick
from handles import BOLT, handle
from hypothesis import given, reject
from hypothesis import strategies as st
from refusals import assert_refused
from specimens import bar_outline, drop_point, ground

from bladegeom import Design, Hole, Knife, as_text, glance, report, report_section
from bladegeom.balance.sensitivity import Sensitivity
from bladegeom.commands.report import SECTION_NAMES
from bladegeom.mass.weigh import Weighing, weigh
from bladegeom.outline.outline import join_halves
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.stick_tang import StickTang
from bladegeom.quantities.errors import BladegeomError, ParameterError, UnknownNameError
from bladegeom.quantities.units import show_length, show_mass
from bladegeom.writers.report_glance import _errors

EXAMPLES = Path(__file__).parents[1] / "examples"


def rows(design: Design) -> list[str]:
    """Lines of the screen, which they must fit."""
    lines = glance(design).removesuffix("\n").split("\n")
    assert len(lines) <= 24
    assert max(map(len, lines)) <= 80
    return lines


def bad(count: int = 1, **more: Any) -> Knife:
    """A bar with holes too near to its spine."""
    holes = tuple(Hole(x=-30.0 - 9.0 * i, y=-4.0, diameter=7.0, purpose="lightening") for i in range(count))
    return dataclasses.replace(ground(bar_outline(), holes=holes), **more)


def test_it_tells_sizes_mass_balance_and_that_it_is_released() -> None:
    knife = drop_point()
    text, weighing = "\n".join(rows(Design(knife))), weigh(knife)
    for wanted in (
        "specimen, revision A\n",
        # 110 mm of blade on 118 mm of handle.
        f"overall length     {show_length(228.0)}\n",
        f"blade length       {show_length(110.0)}\n",
        f"thickness          {show_length(4.0)}, 1084\n",
        f"mass               {show_mass(weighing.total.amount)}: blade ",
        f"balance            {show_length(abs(weighing.balance_from_front))} ",
        "\nfindings           0 errors, ",
        "\nreleased           yes, no error stands\n",
        "\nCheck before cutting: ",
    ):
        assert wanted in text, wanted


def test_the_last_line_names_every_section() -> None:
    last = " ".join(glance(Design(drop_point())).splitlines()[-2:])
    assert re.sub(r"\s+", " ", last) == f"more by section: {', '.join(SECTION_NAMES)}; the whole: --all"


def pointed(lines: list[str]) -> tuple[float, float]:
    """Where the bar shows the handle front and the balance, as shares of the way from the butt to the tip."""
    (i,) = (i for i, line in enumerate(lines) if line.endswith(" tip"))
    knife = lines[i].removeprefix("   butt ").removesuffix(" tip")
    assert set(knife) == set("=|-")
    assert lines[i - 1].strip() == "handle front"
    assert lines[i + 1].replace("^", "").strip() == "balance"
    return knife.index("|") / (len(knife) - 1), (lines[i + 1].index("^") - len("   butt ")) / (len(knife) - 1)


@draws(10)
@given(st.data())
def test_on_any_knife_the_bar_is_true_and_the_screen_holds_it(data: st.DataObject) -> None:
    try:
        knife = data.draw(any_knives.knives())
    except BladegeomError:
        reject()
    name = data.draw(st.text(st.characters(categories=("L", "N", "Zs")), min_size=1, max_size=200))
    knife = dataclasses.replace(knife, name=f"Knife {name}")
    front, balance = pointed(rows(Design(knife)))
    butt, _, tip, _ = knife.outline.bounds
    # The bar has 64 characters: each is true to half of one.
    assert front == pytest.approx(-butt / (tip - butt), abs=0.51 / 63)
    assert balance == pytest.approx((weigh(knife).balance_from_front - butt) / (tip - butt), abs=0.51 / 63)


@pytest.mark.parametrize("count", [1, 2, 3, 8, 20])
def test_errors_are_told_while_there_is_room_and_none_is_lost(count: int) -> None:
    design = Design(bad(count, name="Long " * 40, balance="hunter"))
    lines = rows(design)
    told = [line for line in lines if line.startswith("  error [")]
    more = [int(found[1]) for line in lines if (found := re.match(r"  \.\.\. and (\d+) more: ", line))]
    assert told
    assert len(told) + sum(more) == len(design.errors)
    assert any(line.startswith(f"findings           {len(design.errors)} errors, ") for line in lines)
    assert any("NOT RELEASED" in line for line in lines)


@given(st.lists(st.integers(1, 400), max_size=8), st.integers(1, 14))
def test_errors_keep_to_their_room(lengths: list[int], room: int) -> None:
    findings = [{"severity": "error", "code": f"c{i}", "message": "word " * n} for i, n in enumerate(lengths)]
    lines = _errors({"findings": findings, "overridden": ()}, room)
    assert len(lines) <= room
    told = sum(line.startswith("  error [") for line in lines)
    more = [int(found[1]) for line in lines if (found := re.match(r"  \.\.\. and (\d+) more: ", line))]
    assert told + sum(more) == len(lengths)


def test_a_short_list_of_errors_is_told_word_for_word() -> None:
    design = Design(bad())
    text = re.sub(r"\s+", " ", glance(design))
    for finding in design.errors:
        assert f"error [{finding.code}] {finding.message}" in text
    codes = sorted({finding.code for finding in design.errors})
    allowed = glance(design.allowing(*codes))
    assert f"released           yes, the maker allows {', '.join(codes)}\n" in allowed
    assert allowed.count("error OVERRIDDEN [") == len(design.errors)
    assert "NOT RELEASED" not in allowed


def test_what_is_not_weighed_is_said_beside_every_number_of_the_whole() -> None:
    knife = dataclasses.replace(ground(join_halves(DropPoint(), StickTang())), balance="hunter")
    lines = rows(Design(knife))
    for label in ("overall length", "mass"):
        assert any(line.startswith(label) and "without the handle block" in line for line in lines)
    assert "not known" in " ".join(lines)


def test_both_sides_of_the_handle_are_told_together() -> None:
    knife = handle(BOLT)
    masses = {part.name: part.mass.amount for part in weigh(knife).parts}
    assert f"scales {show_mass(masses['right scale'] + masses['left scale'])}" in glance(Design(knife))


@pytest.mark.parametrize("name", quick(["rigging_knife", "galley_petty"], "rigging_knife"))
def test_sections_are_those_of_the_whole_text(name: str) -> None:
    design = Design.from_script(EXAMPLES / f"{name}.py")
    whole = as_text(report(design)).splitlines()
    told: set[str] = set()
    for section in SECTION_NAMES:
        text = report_section(design, section)
        if section == "order" or text.startswith("nothing to tell"):
            continue
        lines = [line for line in text.splitlines() if line]
        assert set(lines) <= set(whole), section
        told |= set(lines)
    left = [line for line in whole if line and line not in told]
    assert (left[0], left[1:]) == (f"{design.knife.name}, revision {design.knife.revision}", [whole[-1]])


def test_a_section_that_the_design_has_nothing_of_says_so() -> None:
    design = Design(ground(bar_outline()))
    for name in ("holes", "fasteners", "handle", "zones", "order", "agreement"):
        assert report_section(design, name).startswith(f"nothing to tell of the {name}: ")
    for name in set(SECTION_NAMES) - {"holes", "fasteners", "handle", "zones", "order", "agreement"}:
        assert not report_section(design, name).startswith("nothing")


def test_the_order_is_a_section() -> None:
    design = Design.from_script(EXAMPLES / "galley_petty.py")
    assert report_section(design, "order").splitlines()[-1].startswith("complete")


def test_what_moves_the_balance_is_computed_for_its_section_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[object] = []

    def noted(weighing: Weighing) -> tuple[Sensitivity, ...]:
        asked.append(weighing)
        return ()

    monkeypatch.setattr("bladegeom.design.design.what_moves_balance", noted)
    design = Design(drop_point())
    glance(design)
    for name in set(SECTION_NAMES) - {"balance"}:
        report_section(design, name)
    assert asked == []
    report_section(design, "balance")
    assert len(asked) == 1


def test_what_is_no_section_or_no_design_is_refused() -> None:
    with pytest.raises(UnknownNameError) as unknown:
        report_section(Design(drop_point()), "bevle")
    for name in sorted(SECTION_NAMES)[:12]:
        assert name in str(unknown.value)
    knife: Any = drop_point()
    for call in (glance, partial(report_section, name="bevel")):
        with pytest.raises(ParameterError):
            call(knife)
    with pytest.raises(ParameterError) as refused:
        report_section(Design(drop_point()), 3)  # type: ignore[arg-type]
    assert_refused(refused.value, "report section: name")
