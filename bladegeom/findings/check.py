"""All checks of a knife: every rule in the rooms of checks and of findings, where a new one is a new file."""

from __future__ import annotations

from typing import Any

from bladegeom.knife.finding import Findings
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.knife.rule import Rule, rules_in


@memo
def check(knife: Knife) -> Findings:
    """Everything there is to say about a knife, errors first; empty if there is nothing.

    Raises:
        ParameterError: It is no knife.

    >>> for finding in check(knife):
    ...     print(finding.severity, finding.code)
    note bevel-reaches-spine
    """
    return Findings.ranked(finding for rule in check_rules() for finding in rule(knife))


def check_rules() -> tuple[Rule[Any], ...]:
    """All rules that a knife is held to, with the codes of what they may find."""
    return (*rules_in("bladegeom.checks"), *rules_in("bladegeom.findings"))
