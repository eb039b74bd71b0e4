"""Every public function that takes a knife, an outline, an order or a weighing refuses anything else in a sentence."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterator
from typing import Any, Final, get_type_hints

import pytest
from orders import met
from specimens import drop_point

import bladegeom
from bladegeom import HandCheck, Knife, Order, Outline, weigh
from bladegeom.mass.weigh import Weighing
from bladegeom.quantities.errors import ParameterError

RIGHT: Final[dict[type, Callable[[], Any]]] = {
    Knife: drop_point,
    Outline: lambda: drop_point().outline,
    Order: lambda: met(HandCheck(look="looked at", signed="maker")),
    Weighing: lambda: weigh(drop_point()),
}


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
        candidate.name: None
        for candidate in asked
        if candidate.default is candidate.empty and candidate.name not in right
    }
    for wrong in ("knife.py", 3, kind, object(), *(() if hints[parameter] == kind | None else (None,))):
        with pytest.raises(ParameterError) as caught:
            function(**{**needed, **right, parameter: wrong})
        assert caught.value.field == parameter
        assert f"{parameter}=" in caught.value.must


def test_there_are_such_functions() -> None:
    assert {item.values[2] for item in taking()} == RIGHT.keys()
