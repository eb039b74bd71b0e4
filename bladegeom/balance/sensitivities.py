"""What moves the balance of a design: finite changes of it, each made alone and weighed again, ranked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Annotated

from bladegeom.balance.handle_variants import handle_variants
from bladegeom.balance.sensitivity import Sensitivity, Variant
from bladegeom.balance.steel_variants import PATTERNS, QUICK_PATTERNS, steel_variants
from bladegeom.balance.variant_errors import new_errors
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo, taking_over
from bladegeom.mass.weigh import Weighing, weigh
from bladegeom.placing.lightened import Placer
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import BladegeomError
from bladegeom.quantities.field_rules import Like


def what_moves_balance(weighing: Weighing) -> tuple[Sensitivity, ...]:
    """All changes that there are for a design, by how far they move its balance point, the farthest first.

    Holes and fasteners stay where they are unless they are what is changed, and so do the stations of tapers. A change
    that is there already is no change and is left out; one that cannot be built stands last, with its reason.

    Args:
        weighing: Of the design.

    Raises:
        ParameterError: No weighing.

    >>> from bladegeom import weigh
    >>> first = what_moves_balance(weigh(knife))[0]
    >>> first.name, round(first.balance_shift, 1)
    ('scale material', 5.6)
    """
    checked("what_moves_balance: weighing", weighing, Annotated[Weighing, Like("weigh(knife)")])
    return _all(weighing.knife)


def what_moves_balance_quickly(weighing: Weighing) -> tuple[Sensitivity, ...]:
    """The same without those patterns of lightening holes that take a search, for checks that must stay quick."""
    return _ranked(weighing, _variants(weighing.knife, QUICK_PATTERNS))


def variants(knife: Knife) -> tuple[Variant, ...]:
    """All changes that are tried on a design."""
    return _variants(knife, PATTERNS)


@memo
def _all(knife: Knife) -> tuple[Sensitivity, ...]:
    """Remembered, since the report of a design and its chart on each paper ask for the same."""
    return _ranked(weigh(knife), variants(knife))


def _variants(knife: Knife, patterns: Sequence[tuple[str, Placer]]) -> tuple[Variant, ...]:
    return (*steel_variants(knife, patterns), *handle_variants(knife))


def _ranked(base: Weighing, tried: Iterable[Variant]) -> tuple[Sensitivity, ...]:
    return tuple(
        sorted((sensitivity for sensitivity in _tried(base, tried) if sensitivity.knife != base.knife), key=_rank)
    )


def _tried(base: Weighing, tried: Iterable[Variant]) -> Iterator[Sensitivity]:
    for variant in tried:
        try:
            yield _sensitivity(variant, base)
        except BladegeomError as error:
            yield Sensitivity(name=variant.name, change=variant.change, refused=str(error))


def _sensitivity(variant: Variant, base: Weighing) -> Sensitivity:
    knife = taking_over(variant.make(), base.knife)
    total, was = weigh(knife).total, base.total
    balance = total.centre[0]
    return Sensitivity(
        name=variant.name,
        change=variant.change,
        knife=knife,
        mass=total.amount,
        balance=balance,
        mass_shift=total.amount - was.amount,
        balance_shift=balance - base.balance_from_front,
        brings=new_errors(knife, base.knife, variant.touches),
    )


def _rank(sensitivity: Sensitivity) -> tuple[bool, float, str, str]:
    return (
        sensitivity.balance_shift is None,
        -abs(sensitivity.balance_shift or 0.0),
        sensitivity.name,
        sensitivity.change,
    )
