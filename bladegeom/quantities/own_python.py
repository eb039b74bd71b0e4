"""Python that a maker wrote, scripts and profiles: what is wrong with it, however it goes wrong, in words."""

from __future__ import annotations

from typing import Final

from bladegeom.quantities.stopped import is_of_the_script

NO_PYTHON: Final = (SyntaxError, ValueError, RecursionError, MemoryError)
"""What Python raises that is given a text to read which it cannot read. Source: the Python library, compile()."""


def no_python(error: BaseException) -> str:
    """Why a text cannot be run, by what Python's parser has raised.

    >>> no_python(MemoryError())
    'it nests too deeply for Python: break its longest expression into several lines'
    """
    if isinstance(error, SyntaxError):
        return f"it is no Python as it stands: {error.msg}"
    if isinstance(error, RecursionError | MemoryError):
        # The parser gives up at a depth of its own, by either of them.
        return "it nests too deeply for Python: break its longest expression into several lines"
    return f"it is no Python: {error}"


def line_in(error: BaseException) -> int | None:
    """In which line of the text that is; None where it is in none, as with an encoding that nobody knows."""
    return getattr(error, "lineno", None) or None


def is_stop(error: BaseException) -> bool:
    """Whether somebody wants the program to end, and not the maker's Python."""
    return isinstance(error, KeyboardInterrupt) and not is_of_the_script(error)


def words_of(error: BaseException) -> str | None:
    """What an error says, on one line; None where it is of a kind that the maker wrote, and fails to say it.

    Raises:
        KeyboardInterrupt: The program is asked to end.
    """
    try:
        return " ".join(str(error).split())
    except BaseException as unsaid:
        if is_stop(unsaid):
            raise
        return None
