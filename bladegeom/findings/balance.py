"""The balance point against the band that the design declares for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bladegeom.balance.sensitivities import what_moves_balance_quickly
from bladegeom.balance.sensitivity import Sensitivity
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.mass.unweighed import unweighed
from bladegeom.mass.weigh import weigh
from bladegeom.quantities.balance_bands import BalanceBand, from_front
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length


@rule(
    Code("balance-band", ("warning",), "the knife balances outside the band declared for it"),
    Code("block-unweighed", ("note", "warning"), "a part of the knife is not in the design and not weighed"),
)
def check_balance(knife: Knife) -> Iterator[Finding]:
    """A balance point outside its band, and the change that helps most; what is not weighed makes both unknown."""
    band = knife.balance_band
    if left_out := unweighed(knife):
        yield _unknown(knife, left_out, band)
        return
    weighing = weigh(knife)
    if band is None or not weighing.total.amount:
        return
    balance = weighing.balance_from_front
    if band.holds(balance):
        return
    miss = band.miss(balance)
    x, y, _ = weighing.total.centre
    yield Finding(
        code="balance-band",
        severity="warning",
        part="knife",
        message=(
            f"the knife balances {from_front(balance)}, and the band declared for it ({band.name}) is "
            f"{band.words}: {show_length(abs(miss))} too far {'forward' if miss > 0 else 'back'}; "
            f"{_advice(what_moves_balance_quickly(weighing), band, abs(miss))}"
        ),
        measured=balance,
        limit=band.high if miss > 0 else band.low,
        source=band.source,
        x=x,
        y=y,
    )


def _unknown(knife: Knife, left_out: Sequence[str], band: BalanceBand | None) -> Finding:
    """Of no use for a decision, and so a warning where a balance is wanted."""
    x, y, _ = weigh(knife).total.centre
    part = " and ".join(left_out)
    wanted = "" if band is None else f"; whether it balances as wanted ({band.name}, {band.words}) cannot be told"
    return Finding(
        code="block-unweighed",
        severity="note" if band is None else "warning",
        part="knife",
        message=(
            f"the {part} is no part of the design: every mass and balance told is without it{wanted}; "
            "weigh and balance the knife with it on before you promise either"
        ),
        source="the design",
        x=x,
        y=y,
    )


def _advice(tried: tuple[Sensitivity, ...], band: BalanceBand, miss: float) -> str:
    """The smallest single change that reaches the band, or what gets nearest to it; of sound ones before others."""
    built = [(sensitivity, sensitivity.balance) for sensitivity in tried if sensitivity.balance is not None]
    reached = [(sensitivity, at) for sensitivity, at in built if band.holds(at)]
    if reached:
        sensitivity, at = min(reached, key=lambda reach: (bool(reach[0].brings), abs(reach[0].balance_shift or 0.0)))
        return f"the smallest single change that mends it is {sensitivity.words}; then it balances {from_front(at)}"
    sound = [
        (sensitivity, at) for sensitivity, at in built if not sensitivity.brings and abs(band.miss(at)) < miss - SHOP
    ]
    if not sound:
        return "no single change that was tried brings it nearer without errors"
    sensitivity, at = min(sound, key=lambda reach: abs(band.miss(reach[1])))
    left = show_length(abs(band.miss(at)))
    return f"no single change that was tried mends it; nearest comes {sensitivity.words}, which leaves {left}"
