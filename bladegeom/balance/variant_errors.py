"""Which errors a change of a design brings, by those rules alone whose errors hang on what the change touches."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import DesignPart, rules_in


def errors_following(knife: Knife, touched: DesignPart) -> Iterator[str]:
    """Codes of the errors that a knife has by all rules that follow a part of it, each as often as it is found."""
    for rule in rules_in("bladegeom.checks"):
        if touched in rule.follows:
            yield from rule.errors_of(knife)


def new_errors(knife: Knife, was: Knife, touched: Iterable[DesignPart]) -> tuple[str, ...]:
    """Codes of which a changed knife has more errors than it had."""
    more: set[str] = set()
    for part in touched:
        after = Counter(errors_following(knife, part))
        more |= set(after - Counter(errors_following(was, part))) if after else set()
    return tuple(sorted(more))
