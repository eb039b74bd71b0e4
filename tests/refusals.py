"""What a refused value says, by its parts; the words stand in ``test_messages.py`` alone."""

from __future__ import annotations

import pytest

from bladegeom.quantities.errors import ParameterError, UnknownNameError


def assert_refused(error: BaseException, told: str) -> None:
    """A value refused by its name, and by what its limit says.

    Args:
        error: As it was raised.
        told: The name, "stock: thickness", and behind bars the numbers or names that the limit must tell.
    """
    name, *facts = told.split(" | ")
    assert isinstance(error, ParameterError)
    assert error.name == name
    assert name.endswith(error.field)
    for fact in facts:
        assert fact in error.must
    assert "\n" not in str(error)


def assert_facts(error: BaseException, **facts: object) -> None:
    """An error by its fields: numbers and places to 0.005, all else as it is."""
    for field, fact in facts.items():
        told = getattr(error, field)
        numeric = isinstance(fact, float | tuple)
        assert told == (pytest.approx(fact, abs=0.005, rel=1e-9, nan_ok=True) if numeric else fact), (field, told)
    assert "\n" not in str(error)


def refusal(name: str, value: object) -> str:
    """How a printed message begins that refuses a value, in whatever words the frame has."""
    return str(ParameterError(name, value, "")).rpartition("; ")[0]


def unknown(kind: str, name: str, meant: str = "") -> str:
    """How a printed message begins that knows no such name, with the first name that it suggests."""
    told = str(UnknownNameError(kind, name, (), near=(meant,) if meant else ()))
    return told.removesuffix("?") if meant else told.partition(";")[0]


def assert_tells(message: str, *facts: str) -> None:
    """A message, in whatever words, that tells some numbers and names."""
    for fact in facts:
        assert fact in message, f"{fact!r} is not in {message!r}"
