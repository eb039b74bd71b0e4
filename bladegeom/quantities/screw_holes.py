"""The holes that go with a thread: clearance holes, tap drills, and how much thread must hold.

The rows stand in ``data/*.csv``; ``data/README.md`` says what their confidence means.
"""

from __future__ import annotations

from functools import cache
from typing import Annotated, Final

from bladegeom.quantities.declared import checked, declared
from bladegeom.quantities.drills import Drill, drill
from bladegeom.quantities.errors import ParameterError, UnknownNameError
from bladegeom.quantities.field_rules import KnownWord, Length, Positive
from bladegeom.quantities.rows import table_rows
from bladegeom.quantities.threads import Thread, thread, thread_size
from bladegeom.quantities.units import length

FITS: Final = ("close", "normal", "loose")
"""The fits of ASME B18.2.8; in ISO 273 they are called fine (H12), medium (H13) and coarse (H14)."""
TAPPED_METALS: Final = ("soft", "hard")
"""The two columns of tap charts: aluminium and the like; steel, stainless steel, hard brass."""

TappedMetal = Annotated[str, KnownWord("tapped metal", TAPPED_METALS)]

PERCENT_BASIS: Final = 1.299038
"""Twice the depth of a full thread, in pitches: 3/4 of twice the height of the sharp V, 0.866025.

Source: Machinery's Handbook 31, p. 2155. Other texts divide by 1.082532 instead, and get a greater number.
"""

_FIT_WORDS: Final = {
    **{fit: fit for fit in FITS},
    **dict(zip(("fine", "medium", "coarse"), FITS, strict=True)),
    **dict(zip(("h12", "h13", "h14"), FITS, strict=True)),
}


@declared("clearance hole", slots=True)
class ClearanceHole:
    """A through hole that a screw of one size passes; diameter in mm.

    Args:
        size: ``"#6"``, ``"1/4"``, ``"M4"``.
        fit: One of :data:`FITS`.
        standard: Where the row stands.
        called: The standard's own word for the fit.
        diameter: Of the hole.
        source: Where the number comes from.
        confidence: ``"high"``, ``"medium"`` or ``"low"``.

    >>> from bladegeom import clearance_hole
    >>> clearance_hole("M4").diameter
    4.5
    """

    size: str
    fit: Annotated[str, KnownWord("fit", FITS)]
    standard: str
    called: str
    diameter: Length
    source: str
    confidence: str


@declared("tap drill", slots=True)
class TapDrill:
    """The drill before the tap, for one thread in one of :data:`TAPPED_METALS`.

    >>> from bladegeom import tap_drill
    >>> tap_drill("M4").drill.name
    '3.3 mm'
    """

    thread: str
    metal: TappedMetal
    drill: Drill
    source: str
    confidence: str


@declared("engagement rule", slots=True)
class EngagementRule:
    """The least length of thread that holds: so many diameters, and so many turns."""

    metal: TappedMetal
    diameters: Positive
    least_threads: float
    source: str
    confidence: str
    note: str = ""


def clearance_hole(name: str | Thread, fit: str = "normal") -> ClearanceHole:
    """The hole that a screw passes: by ASME B18.2.8 for inch sizes, by ISO 273 for metric ones.

    Args:
        name: A thread, or its size alone, as ``"#8"`` or ``"M4"``.
        fit: One of :data:`FITS`; or as ISO 273 calls the same, ``"fine"``, ``"medium"``, ``"coarse"`` or
            ``"H12"``, ``"H13"``, ``"H14"``.

    Raises:
        UnknownNameError: No such thread or fit.
        ParameterError: The standard has no row for this size: nothing is interpolated.

    >>> clearance_hole("M4", "normal").diameter, clearance_hole("1/4-20").diameter
    (4.5, 7.14375)
    """
    word = _FIT_WORDS.get(fit.strip().lower())
    if word is None:
        raise UnknownNameError("fit", fit, _FIT_WORDS)
    size = thread_size(name)
    found = _clearance_holes().get((size, word))
    if found is None:
        standard = "ISO 273" if size.startswith("M") else "ASME B18.2.8"
        sizes = dict.fromkeys(hole.size for hole in clearance_holes() if hole.standard == standard)
        must = f"be a size with a clearance hole in {standard}: {', '.join(sizes)}; else give the hole's diameter"
        raise ParameterError("thread", size, must)
    return found


@cache
def clearance_holes() -> tuple[ClearanceHole, ...]:
    """All clearance holes, in the order of the table."""
    return tuple(
        ClearanceHole(
            size=row["size"],
            fit=row["fit"],
            standard=row["standard"],
            called=row["called"],
            diameter=length(row["diameter"]),
            source=row["source"],
            confidence=row["confidence"],
        )
        for row in table_rows("clearance_holes.csv")
    )


def tap_drill(name: str | Thread, metal: str = "soft") -> TapDrill:
    """The drill that tap charts name: for about 75 % of a full thread in soft metal, about 50 % in hard.

    What a drill really leaves, tells :func:`percent_thread`.

    Raises:
        UnknownNameError: No such thread or metal.
        ParameterError: A shop's own thread that the charts do not have.

    >>> tap_drill("2-56").drill.name, tap_drill("M3").drill.diameter
    ('#50', 2.5)
    """
    checked("tapped hole: metal", metal, TappedMetal)
    tapped = thread(name)
    found = _tap_drills().get((tapped.name, metal))
    if found is None:
        must = "have a tap drill in the table; else choose a drill by percent_thread()"
        raise ParameterError("thread", tapped.name, must)
    return found


@cache
def tap_drills() -> tuple[TapDrill, ...]:
    """All tap drills, in the order of the table."""
    return tuple(
        TapDrill(
            thread=row["thread"],
            metal=row["metal"],
            drill=drill(row["drill"]),
            source=row["source"],
            confidence=row["confidence"],
        )
        for row in table_rows("tap_drills.csv")
    )


def percent_thread(name: str | Thread, hole_diameter: float | str) -> float:
    """How much of a full thread a tap leaves in a hole, in percent: 100 (D - d) / (1.299 P).

    Args:
        name: The thread.
        hole_diameter: Of the hole before tapping; a number in mm or a text with its unit.

    Raises:
        UnknownNameError: No such thread.
        QuantityError: The diameter is no length.
        ParameterError: No thread would be left, or no hole.

    Source:
        Machinery's Handbook 31, p. 2155; see :data:`PERCENT_BASIS`.

    >>> round(percent_thread("2-56", "0.070 in"))
    69
    """
    tapped, diameter = thread(name), length(hole_diameter)
    if not 0 < diameter < tapped.major:
        must = f"be more than 0 and less than the major diameter of {tapped.name}, {tapped.major:g} mm"
        raise ParameterError("hole_diameter", f"{diameter:g} mm", must)
    return 100 * (tapped.major - diameter) / (PERCENT_BASIS * tapped.pitch)


def engagement_rule(metal: str) -> EngagementRule:
    """The rule for a tapped hole in one of :data:`TAPPED_METALS`.

    Raises:
        UnknownNameError: No such metal.
    """
    checked("tapped hole: metal", metal, TappedMetal)
    return next(rule for rule in engagement_rules() if rule.metal == metal)


@cache
def engagement_rules() -> tuple[EngagementRule, ...]:
    """All rules of engagement."""
    return tuple(
        EngagementRule(
            metal=row["metal"],
            diameters=float(row["diameters"]),
            least_threads=float(row["least_threads"]),
            source=row["source"],
            confidence=row["confidence"],
            note=row["note"],
        )
        for row in table_rows("engagement_rules.csv")
    )


def least_engagement(name: str | Thread, metal: str) -> float:
    """The least length of thread in a tapped hole, mm; the numbers and their source: :func:`engagement_rule`.

    Raises:
        UnknownNameError: No such thread or metal.

    >>> least_engagement("M4", "hard"), least_engagement("M4", "soft")
    (4.0, 6.0)
    """
    rule, held = engagement_rule(metal), thread(name)
    return max(rule.diameters * held.major, rule.least_threads * held.pitch)


@cache
def _clearance_holes() -> dict[tuple[str, str], ClearanceHole]:
    return {(hole.size, hole.fit): hole for hole in clearance_holes()}


@cache
def _tap_drills() -> dict[tuple[str, str], TapDrill]:
    return {(row.thread, row.metal): row for row in tap_drills()}
