"""One rule of a register: what it looks at, and every code of findings that may come of it."""

from __future__ import annotations

import functools
import importlib
import pkgutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, Generic, Literal, ParamSpec

from bladegeom.knife.finding import Finding, Severity
from bladegeom.quantities.docstrings import said_of
from bladegeom.quantities.errors import UndeclaredCodeError

_Looked = ParamSpec("_Looked")

DesignPart = Literal["outline", "bevel", "holes", "stack"]
"""What a change of a design may make wrong. Zones are left out: marks and texture follow the drawing of the blade."""


@dataclass(frozen=True)
class Code:
    """A code of findings.

    Args:
        name: Stays, since reports and overrides use it.
        severities: That such a finding may have.
        means: What is wrong or worth knowing, in a clause.
        missed: Whether a must of an order is missed where it is found; then it is an error for every must.
    """

    name: str
    severities: tuple[Severity, ...]
    means: str
    missed: bool = False


@dataclass(frozen=True, eq=False)
class Rule(Generic[_Looked]):
    """A function that yields findings, with what it declares of them; called like the function itself.

    Args:
        look: The function.
        codes: All that it may give.
        follows: Parts of a design on which its errors hang.
        errors: Codes of its errors, where they are told more quickly than by looking; None looks.
        passes_on: In words, where further codes are declared that it passes on; empty where there are none.
    """

    look: Callable[_Looked, Iterator[Finding]]
    codes: tuple[Code, ...]
    follows: tuple[DesignPart, ...] = ()
    errors: Callable[..., Iterator[str]] | None = None
    passes_on: str = ""

    @property
    def name(self) -> str:
        """What it is called, such as "net section"."""
        return self.look.__name__.removeprefix("check_").replace("_", " ")

    @property
    def words(self) -> str:
        """What it looks at: the first line of its docstring."""
        return said_of(self.look).partition("\n")[0]

    def __call__(self, *looked: _Looked.args, **named: _Looked.kwargs) -> Iterator[Finding]:
        """Its findings.

        Raises:
            UndeclaredCodeError: One has a code, or a severity, that the rule does not declare.
        """
        for finding in self.look(*looked, **named):
            if not self.passes_on and finding.severity not in self._severities.get(finding.code, ()):
                raise UndeclaredCodeError(self.name, finding.code, finding.severity)
            yield finding

    def errors_of(self, *looked: _Looked.args, **named: _Looked.kwargs) -> Iterator[str]:
        """Codes of the errors that there are, each as often as it is found."""
        if self.errors is not None:
            return self.errors(*looked, **named)
        return (finding.code for finding in self(*looked, **named) if finding.severity == "error")

    @functools.cached_property
    def _severities(self) -> dict[str, tuple[Severity, ...]]:
        return {code.name: code.severities for code in self.codes}


def rule(
    *codes: Code,
    follows: tuple[DesignPart, ...] = (),
    errors: Callable[..., Iterator[str]] | None = None,
    passes_on: str = "",
) -> Callable[[Callable[_Looked, Iterator[Finding]]], Rule[_Looked]]:
    """Make a function a rule; see :class:`Rule` for what is declared."""

    def declared(look: Callable[_Looked, Iterator[Finding]]) -> Rule[_Looked]:
        return Rule(look=look, codes=codes, follows=follows, errors=errors, passes_on=passes_on)

    return declared


@functools.cache
def rules_in(package: str) -> tuple[Rule[Any], ...]:
    """All rules of a package, by the names of its modules, those of a module as they stand in it.

    Args:
        package: Its full name, such as "bladegeom.checks"; every module in it is looked at.
    """
    path = importlib.import_module(package).__path__
    names = sorted(module.name for module in pkgutil.iter_modules(path))
    modules = [importlib.import_module(f"{package}.{name}") for name in names]
    return tuple(
        value
        for module in modules
        for value in vars(module).values()
        if isinstance(value, Rule) and value.look.__module__ == module.__name__
    )
