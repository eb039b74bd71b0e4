"""What a class or a function says of itself, also where Python was told to leave that out (``python -OO``)."""

from __future__ import annotations

import ast
import inspect
import sys
import textwrap
from collections.abc import Callable
from functools import cache

_LEFT_OUT = 2
"""From this level of optimization on Python keeps no docstrings; source: Python's documentation of ``-OO``."""


@cache
def said_of(thing: type | Callable[..., object]) -> str:
    """Its docstring; empty where it has none.

    Args:
        thing: A class or a function.

    >>> said_of(said_of).partition(";")[0]
    'Its docstring'
    """
    if sys.flags.optimize < _LEFT_OUT:
        return inspect.getdoc(thing) or ""
    # A dataclass without a docstring makes one of its fields: only the source tells.
    (node,) = ast.parse(textwrap.dedent(inspect.getsource(thing))).body
    if isinstance(node, ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef):
        return ast.get_docstring(node) or ""
    return ""
