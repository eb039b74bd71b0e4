"""The balance's part of the report in words: the band that is declared for it, and what moves it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from bladegeom.mass.unweighed import knife_words
from bladegeom.quantities.units import show_mass, show_mm


def band_line(band: Mapping[str, Any] | None) -> tuple[str, ...]:
    """The declared band as a line of text, if there is one."""
    if band is None:
        return ()
    miss = band["miss"]
    if miss is None:
        return (f"balance wanted     {band['name']}: {band['words']}; not known, for not all of it is weighed",)
    told = f"{show_mm(abs(miss))} mm too far {'forward' if miss > 0 else 'back'}" if miss else "met"
    return (f"balance wanted     {band['name']}: {band['words']}; {told}",)


def sensitivity_lines(rows: list[Mapping[str, Any]]) -> Iterator[str]:
    """What moves the balance as lines of text."""
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
