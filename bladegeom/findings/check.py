"""All checks of a knife: every rule in the rooms of checks and of findings, where a new one is a new file."""

from __future__ import annotations

from typing import Any

from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Rule, rules_in
from bladegeom.quantities.declared import checked


def check(knife: Knife) -> tuple[Finding, ...]:
    """Everything there is to say about a knife, errors first; empty if there is nothing.

    Raises:
        ParameterError: It is no knife.
    """
    checked("check: knife", knife, Knife)
    found = (finding for rule in check_rules() for finding in rule(knife))
    return tuple(sorted(found, key=lambda finding: finding.rank))


def check_rules() -> tuple[Rule[Any], ...]:
    """All rules that a knife is held to, with the codes of what they may find."""
    return (*rules_in("bladegeom.checks"), *rules_in("bladegeom.findings"))
