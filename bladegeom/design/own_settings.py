"""Functions of a design tell its lengths as its own settings say, whatever is in force where they are called."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import ParamSpec, TypeVar

from bladegeom.design.design import Design
from bladegeom.settings.settings import settings_in_force

P = ParamSpec("P")
R = TypeVar("R")


def in_own_settings(function: Callable[P, R]) -> Callable[P, R]:
    """A function whose first argument is a design; whatever else stands there it refuses by itself."""

    @functools.wraps(function)
    def told(*given: P.args, **named: P.kwargs) -> R:
        design = given[0] if given else named.get("design")
        settings = design.settings if isinstance(design, Design) else settings_in_force()
        with settings.in_force():
            return function(*given, **named)

    return told
