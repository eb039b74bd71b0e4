"""The balance's part of the report: what moves it, and the band that is declared for it."""

from __future__ import annotations

from typing import Any

from bladegeom.design.design import Design
from bladegeom.mass.unweighed import unweighed
from bladegeom.quantities.balance_bands import BalanceBand

_NAMES = ("name", "change", "mass", "balance", "mass_shift", "balance_shift")


def band_report(design: Design) -> dict[str, Any] | None:
    """The band that is declared; None where none is."""
    known = None if unweighed(design.knife) else design.weighing.balance_from_front
    return _band(design.knife.balance_band, known)


def sensitivity_report(design: Design) -> list[dict[str, Any]]:
    """What moves the balance, the strongest first."""
    left_out = unweighed(design.knife)
    return [
        {name: getattr(sensitivity, name) for name in _NAMES}
        | {"brings": list(sensitivity.brings), "refused": sensitivity.refused, "unweighed": list(left_out)}
        for sensitivity in design.sensitivity
    ]


def _band(band: BalanceBand | None, balance: float | None) -> dict[str, Any] | None:
    if band is None:
        return None
    row = {name: getattr(band, name) for name in ("name", "low", "high", "source", "note")}
    # Where not all of the knife is weighed, nobody knows by how much it misses.
    miss = None if balance is None else 0.0 if band.holds(balance) else band.miss(balance)
    return row | {"words": band.words, "miss": miss}
