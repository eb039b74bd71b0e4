"""Every public function that takes a value of ours refuses anything else in a sentence."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Final, get_type_hints

import pytest
from orders import met
from quotes import plain_list
from specimens import drop_point

import bladegeom
from bladegeom import (
    Blank,
    CutFileCheck,
    Design,
    HandCheck,
    Knife,
    Nest,
    Order,
    Outline,
    Printer,
    Quote,
    StockPiece,
    Work,
    blank_of,
    cut_files,
    export,
    measure,
    nest,
    nest_cut_files,
    nest_sheet,
    pages,
    preflight,
    quote,
    tap_drill,
    template,
    thread,
    weigh,
)
from bladegeom.mass.weigh import Weighing
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.papers import paper as drawn_on

RIGHT: Final[dict[type, Callable[[], Any]]] = {
    Knife: drop_point,
    Outline: lambda: drop_point().outline,
    Order: lambda: met(HandCheck(look="looked at", signed="maker")),
    Weighing: lambda: weigh(drop_point()),
    Design: lambda: Design(drop_point()),
    Work: Work,
    Printer: lambda: Printer(across=99.6, along=100.2),
    Quote: lambda: quote(Design(drop_point()), plain_list()),
    CutFileCheck: lambda: cut_files(Design(drop_point()))["steel"].check,
    Nest: lambda: nest([blank_of(drop_point())], StockPiece(length=500.0, width=50.0)),
    Blank: lambda: blank_of(drop_point()),
}

NEEDED: Final = {"name": "template"}
"""What else a function must be given to come to the value that is wrong; of all others it has not come to ask."""


def taking() -> Iterator[Any]:
    """Each such parameter of each public function."""
    for name in sorted(dir(bladegeom)):
        function = getattr(bladegeom, name)
        if inspect.isfunction(function):
            hints = get_type_hints(function)
            for kind in RIGHT:
                for parameter in inspect.signature(function).parameters:
                    if hints[parameter] in (kind, kind | None):
                        yield pytest.param(function, parameter, kind, id=f"{name} {parameter}")


@pytest.mark.parametrize(("function", "parameter", "kind"), list(taking()))
def test_another_kind_is_refused_with_what_was_wanted(function: Any, parameter: str, kind: type) -> None:
    hints, asked = get_type_hints(function), inspect.signature(function).parameters.values()
    right = {candidate.name: RIGHT[hints[candidate.name]]() for candidate in asked if hints[candidate.name] in RIGHT}
    needed = {
        candidate.name: NEEDED.get(candidate.name)
        for candidate in asked
        if candidate.default is candidate.empty and candidate.name not in right
    }
    for wrong in ("knife.py", 3, kind, object(), *(() if hints[parameter] == kind | None else (None,))):
        with pytest.raises(ParameterError) as caught:
            function(**{**needed, **right, parameter: wrong})
        assert caught.value.field == parameter
        assert f"{parameter}=" in caught.value.must


@pytest.mark.parametrize("wrong", [None, 3, object(), ()], ids=type)
def test_what_is_no_name_is_refused_as_one(wrong: Any) -> None:
    design = Design(drop_point())
    for look_up in (
        thread,
        measure,
        drawn_on,
        tap_drill,
        lambda name: pages(design, name),
        # None takes the paper of the settings.
        *(() if wrong is None else (lambda name: template(design, paper=name),)),
    ):
        with pytest.raises(ParameterError, match=r"must be (a text|written like papers=)"):
            look_up(wrong)


def test_preflight_refuses_what_tests_nothing(tmp_path: Path) -> None:
    (path,) = cut_files(Design(drop_point()))["steel"].save(tmp_path / "part.dxf")
    wrong: tuple[tuple[str, Any], ...] = (("thickness", "4 mm"), ("thickness", -1.0), ("unit", "cm"), ("process", 3))
    for name, value in wrong:
        with pytest.raises(ParameterError) as caught:
            preflight(path, **{name: value})
        assert caught.value.field == name


def test_a_release_of_dxf_that_is_none_is_refused(tmp_path: Path) -> None:
    other: Any = "R14"
    for made in (lambda design: cut_files(design, dxf=other), lambda design: export(design, tmp_path, dxf=other)):
        with pytest.raises(ParameterError) as caught:
            made(Design(drop_point()))
        assert caught.value.field == "dxf"
    assert list(tmp_path.iterdir()) == []


def test_a_nest_wants_as_many_designs_as_blanks() -> None:
    design = Design(drop_point())
    done = nest([blank_of(design.knife)], StockPiece(length=500.0, width=50.0))
    for designs in ([], [design, design]):
        for made in (nest_sheet, nest_cut_files):
            with pytest.raises(ParameterError, match="one for each of the 1 blanks"):
                made(done, designs)


def test_there_are_such_functions() -> None:
    assert {item.values[2] for item in taking()} == RIGHT.keys()
