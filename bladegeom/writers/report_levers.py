"""The levers' part of the report: what moves the balance, and the band that is declared for it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from bladegeom.balance.levers import levers
from bladegeom.mass.unweighed import knife_words, unweighed
from bladegeom.mass.weigh import Weighing
from bladegeom.quantities.balance_bands import BalanceBand
from bladegeom.quantities.units import show_mass, show_mm

_NAMES = ("name", "change", "mass", "balance", "mass_shift", "balance_shift")


def lever_report(weighing: Weighing) -> dict[str, Any]:
    """The keys "balance_band", null where none is declared, and "levers", the strongest first."""
    left_out = unweighed(weighing.knife)
    return {
        "balance_band": _band(weighing.knife.balance_band, None if left_out else weighing.balance_from_front),
        "levers": [
            {name: getattr(lever, name) for name in _NAMES}
            | {"brings": list(lever.brings), "refused": lever.refused, "unweighed": list(left_out)}
            for lever in levers(weighing)
        ],
    }


def _band(band: BalanceBand | None, balance: float | None) -> dict[str, Any] | None:
    if band is None:
        return None
    row = {name: getattr(band, name) for name in ("name", "low", "high", "source", "note")}
    # Where not all of the knife is weighed, nobody knows by how much it misses.
    miss = None if balance is None else 0.0 if band.holds(balance) else band.miss(balance)
    return row | {"words": band.words, "miss": miss}


def band_line(band: Mapping[str, Any] | None) -> tuple[str, ...]:
    """The declared band as a line of text, if there is one."""
    if band is None:
        return ()
    miss = band["miss"]
    if miss is None:
        return (f"balance wanted     {band['name']}: {band['words']}; not known, for not all of it is weighed",)
    told = f"{show_mm(abs(miss))} mm too far {'forward' if miss > 0 else 'back'}" if miss else "met"
    return (f"balance wanted     {band['name']}: {band['words']}; {told}",)


def lever_lines(rows: list[Mapping[str, Any]]) -> Iterator[str]:
    """The levers as lines of text."""
    left_out: list[str] = next((row["unweighed"] for row in rows), [])
    yield (
        f"what moves the balance, strongest first; each change alone, the {knife_words(left_out)} weighed again; "
        "+ is to the tip"
    )
    for row in rows:
        words = f"{row['name']}: {row['change']}"
        if row["refused"]:
            yield f"  {'cannot be built':<20}  {words}: {row['refused']}"
            continue
        errors = f" (brings errors: {', '.join(row['brings'])})" if row["brings"] else ""
        balance, mass = show_mm(row["balance_shift"], sign=True), show_mass(row["mass_shift"], sign=True)
        yield f"  {balance:>7} mm, {mass:>8}  {words}{errors}"
