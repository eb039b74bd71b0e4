"""What a script can import: everything has an example, and what is handed back can be imported too."""

from __future__ import annotations

import inspect
import typing
from collections.abc import Callable, Iterator

import pytest

import bladegeom

NAMES = {name: getattr(bladegeom, name) for name in dir(bladegeom) if not name.startswith("_")}
FUNCTIONS = {name: value for name, value in NAMES.items() if callable(value) and not inspect.isclass(value)}
CLASSES = {value for value in NAMES.values() if inspect.isclass(value)}


def classes_in(hint: object) -> Iterator[type]:
    """Every class that a type is made of."""
    if inspect.isclass(hint) and typing.get_origin(hint) is None:
        yield hint
    for part in typing.get_args(hint):
        yield from classes_in(part)


def own_classes(function: Callable[..., object]) -> set[type]:
    """Classes of the library that a function hands back."""
    hint = typing.get_type_hints(inspect.unwrap(function)).get("return")
    return {found for found in classes_in(hint) if found.__module__.startswith("bladegeom.")}


@pytest.mark.parametrize("name", sorted(name for name, value in NAMES.items() if callable(value)))
def test_everything_has_an_example(name: str) -> None:
    assert ">>> " in (inspect.getdoc(NAMES[name]) or "")


@pytest.mark.parametrize("name", sorted(FUNCTIONS))
def test_what_a_function_hands_back_is_public(name: str) -> None:
    assert own_classes(FUNCTIONS[name]) <= CLASSES


def test_what_a_design_tells_is_public() -> None:
    told = [value for _, value in inspect.getmembers(bladegeom.Design)]
    functions = [value.fget for value in told if isinstance(value, property) and value.fget is not None]
    functions += [value.func for value in told if hasattr(value, "func")]
    assert len(functions) > 15
    assert set().union(*map(own_classes, functions)) <= CLASSES
