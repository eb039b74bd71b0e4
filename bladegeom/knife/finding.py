"""What a check says: findings, each with its place, its numbers and a way out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal, Self

Severity = Literal["error", "warning", "note"]

_RANK = {"error": 0, "warning": 1, "note": 2}


@dataclass(frozen=True, kw_only=True)
class Finding:
    """What is found, where, and what to do.

    Args:
        code: A name that stays, such as "rim": reports and overrides use it.
        severity: An error stops a cut file; a warning wants a decision; a note is worth knowing.
        part: "blade", or the part concerned.
        message: One sentence in trade words, with the fix in numbers where there is one.
        measured: What was found, mm or as the message says.
        limit: What was asked for, in the same unit.
        source: Of the limit.
        x: Place in the design's frame, mm.
        y: Place in the design's frame, mm.

    >>> finding = Finding(code="rim", severity="error", part="blade", message="the rim is thin", limit=3.0)
    >>> finding.code, finding.limit
    ('rim', 3.0)
    """

    code: str
    severity: Severity
    part: str
    message: str
    measured: float | None = None
    limit: float | None = None
    source: str = ""
    x: float | None = None
    y: float | None = None

    @property
    def rank(self) -> tuple[int, str, float, float]:
        """Errors first; then by code, from the tip to the butt."""
        return (_RANK[self.severity], self.code, -(self.x or 0.0), self.y or 0.0)


def severity_counts(severities: Iterable[str]) -> str:
    """How many of each severity, in words.

    >>> severity_counts(["note", "error", "note"])
    '1 error, 0 warnings, 2 notes'
    """
    count = Counter(severities)
    return ", ".join(f"{count[severity]} {severity}{'' if count[severity] == 1 else 's'}" for severity in _RANK)


class Findings(tuple[Finding, ...]):
    """What was found, errors first; a tuple that a notebook shows as a table.

    >>> found = Findings([Finding(code="rim", severity="error", part="blade", message="the rim is thin")])
    >>> found == (found[0],)
    True
    """

    __slots__ = ()

    @classmethod
    def ranked(cls, found: Iterable[Finding]) -> Self:
        """In the order in which they are told."""
        return cls(sorted(found, key=lambda finding: finding.rank))

    def _repr_html_(self) -> str:
        from bladegeom.writers.notebook import findings_table  # noqa: PLC0415

        return findings_table(self)
