"""One variant of a design: its main numbers and findings, or why it failed."""

from __future__ import annotations

import traceback
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from bladegeom.findings.check import check
from bladegeom.knife.finding import Finding, Severity
from bladegeom.knife.knife import Knife
from bladegeom.mass.unweighed import unweighed
from bladegeom.mass.weigh import weigh
from bladegeom.quantities.errors import BladegeomError
from bladegeom.quantities.file_errors import ScriptError
from bladegeom.quantities.told import told

_DECIMALS = 4
"""Numbers are rounded to 0.0001, far below what they are true to, so that a file holds all there is; own choice."""


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What a variant gives.

    Args:
        mass: Of the finished knife, g.
        balance: Balance point along x from the handle front at the spine, + towards the tip, mm.
        blade_length: From the origin to the tip, mm.
        overall_length: Of the steel, mm.
        lightening: Mass that the lightening holes take out, g.
        errors: How many findings are errors.
        error_codes: Their codes, each once, sorted.
        warnings: How many findings are warnings.
        warning_codes: Their codes, each once, sorted.
        unweighed: Parts that mass and balance are told without.

    >>> from bladegeom.studies.variant import run_variant
    >>> outcome = run_variant(lambda: knife, {}).outcome
    >>> round(outcome.mass, 1), outcome.warning_codes
    (175.3, ())
    """

    mass: float
    balance: float
    blade_length: float
    overall_length: float
    lightening: float
    errors: int
    error_codes: tuple[str, ...]
    warnings: int
    warning_codes: tuple[str, ...]
    unweighed: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Row:
    """A variant with its outcome, or with the reason in one line why there is none.

    Args:
        parameters: With which the design was called.
        outcome: What came of it, or the message of the failure.

    >>> from bladegeom.studies.variant import run_variant
    >>> row = run_variant(lambda: knife, {})
    >>> row.failed, row.outcome.errors
    (False, 0)
    """

    parameters: Mapping[str, object]
    outcome: Outcome | str

    @property
    def failed(self) -> bool:
        """Whether there is no outcome."""
        return isinstance(self.outcome, str)


def run_variant(design: Callable[..., Knife], parameters: Mapping[str, object]) -> Row:
    """Make one variant, weigh it and check it. Whatever the design raises becomes the row's failure."""
    try:
        return Row(parameters=parameters, outcome=_outcome(design(**parameters)))
    except (Exception, SystemExit) as error:
        # A design is the maker's own code: it may raise anything, and one variant must not end the sweep.
        return Row(parameters=parameters, outcome=_told(error))


def _outcome(knife: object) -> Outcome:
    if not isinstance(knife, Knife):
        raise TypeError(f"the design returned {'nothing' if knife is None else told(knife)}, not a Knife")
    weighing, findings = weigh(knife), check(knife)
    x0, _, x1, _ = knife.outline.bounds
    errors, warnings = _of(findings, "error"), _of(findings, "warning")
    return Outcome(
        mass=round(weighing.total.amount, _DECIMALS),
        balance=round(weighing.balance_from_front, _DECIMALS),
        blade_length=round(knife.outline.tip[0], _DECIMALS),
        overall_length=round(x1 - x0, _DECIMALS),
        lightening=round(weighing.lightening_mass.amount, _DECIMALS),
        errors=len(errors),
        error_codes=tuple(sorted(set(errors))),
        warnings=len(warnings),
        warning_codes=tuple(sorted(set(warnings))),
        unweighed=unweighed(knife),
    )


def _of(findings: Iterable[Finding], severity: Severity) -> list[str]:
    return [finding.code for finding in findings if finding.severity == severity]


def _told(error: BaseException) -> str:
    """The message in one line, with file and line of the design's own file where it does not name them itself."""
    text = " ".join(str(error).split())
    if isinstance(error, ScriptError):
        return text
    if not isinstance(error, BladegeomError):
        text = f"{type(error).__name__}: {text}" if text else type(error).__name__
    # The first frame is run_variant's; the next is the design's, or ours again where weighing or checking failed.
    first, *frames = traceback.extract_tb(error.__traceback__)
    own = [frame for frame in frames if frame.filename == frames[0].filename != first.filename]
    return f"{own[-1].filename}, line {own[-1].lineno}: {text}" if own else text
