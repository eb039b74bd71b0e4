"""What the holes leave of the tang's height, and its weakest section."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bladegeom.holes.net_section import NO_PROMISE, NetSection, chords, cutting, net_section
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length, show_mm


@rule(
    Code("net-width", ("error",), "the holes leave too little of the tang's height"),
    Code("weak-section", ("note",), "the tang is much weaker at its holes than ahead of them"),
    follows=("holes",),
)
def check_net_section(knife: Knife) -> Iterator[Finding]:
    """All findings about the sections of the drilled tang."""
    if not knife.openings:
        return
    section = net_section(knife)
    yield from _narrow(section)
    yield from _weak(section)


def _narrow(section: NetSection) -> Iterator[Finding]:
    """Each stretch of the tang where too little of its height is left, told at its worst station."""
    share = section.knife.rules.net_width
    broken = np.flatnonzero(section.net.height < share * section.full.height - SHOP)
    for run in np.split(broken, np.flatnonzero(np.diff(broken) > 1) + 1):
        if len(run):
            yield _too_narrow(section, int(run[section.height_left[run].argmin()]))


def _too_narrow(section: NetSection, i: int) -> Finding:
    knife, x = section.knife, float(section.x[i])
    share, full, net = knife.rules.net_width, float(section.full.height[i]), float(section.net.height[i])
    which = np.flatnonzero(cutting(x, knife.openings)).tolist()
    fix = _fix(section, which[0]) if len(which) == 1 else _fix_together(share * full - net)
    text = (
        f"at x {show_mm(x)} mm {_names(section, i)} {'leaves' if len(which) == 1 else 'leave'} {show_length(net)} of "
        f"the tang's {show_length(full)}, {100 * net / full:.1f} %, less than {100 * share:g} %; {fix}"
    )
    return Finding(
        code="net-width",
        severity="error",
        part="blade",
        message=text,
        measured=net,
        limit=share * full,
        source=knife.rules.source("net_width"),
        x=x,
    )


def _fix(section: NetSection, which: int) -> str:
    """For one hole: how wide it may be where it stands, and where the tang is high enough for it as it is."""
    knife, hole = section.knife, section.knife.openings[which]
    (x0, y0), (x1, y1) = hole.axis.tolist()
    share, low, high = knife.rules.net_width, min(x0, x1) - hole.diameter / 2, max(x0, x1) + hole.diameter / 2
    there = section.full.height[(section.x >= low) & (section.x <= high)]
    most, rise = (1 - share) * float(there.min()), abs(y1 - y0)
    if rise > SHOP and most > hole.diameter:
        return f"shorten or turn it so that its centre line climbs no more than {show_length(most - hole.diameter)}"
    text = f"{'lay it level and ' if rise > SHOP else ''}make it no wider than {show_length(most)}"
    place = _high_enough(section, which, (high - low) / 2)
    if place is None or rise > SHOP:
        return text
    least = show_length(hole.diameter / (1 - share))
    return f"{text}, or move it to x {show_mm(place)} mm, where the tang is at least {least} high"


def _fix_together(missing: float) -> str:
    return f"make them together {show_length(missing)} narrower, or move them apart along x"


def _high_enough(section: NetSection, which: int, reach: float) -> float | None:
    """The nearest station about which the tang is high enough for a hole, clear of others; None without any.

    Args:
        section: Of the tang.
        which: Of the openings.
        reach: Half of its length along x, mm.
    """
    knife, x = section.knife, section.x
    hole, rules = knife.openings[which], knife.rules
    down, up = chords(x, [opening for i, opening in enumerate(knife.openings) if i != which])
    taken = x[(up > down).any(axis=1)]
    low = x[(1 - rules.net_width) * section.full.height < hole.diameter]
    front, butt = float(x[0]) - rules.clear_strip, float(x[-1])
    good = (x + reach <= front) & (x - reach >= butt)
    for places, apart in ((low, reach), (taken, reach + rules.least_web(knife.stock.thickness))):
        good &= np.abs(x[:, None] - places).min(axis=1, initial=np.inf) > apart
    return min(x[good].tolist(), key=lambda at: abs(at - hole.x), default=None)


def _weak(section: NetSection) -> Iterator[Finding]:
    """A note on the weakest station, where little is left of the weakest undrilled section ahead of it."""
    i, knife = section.weakest, section.knife
    if i is None:
        return
    x, share, names = float(section.x[i]), knife.rules.weak_section, _names(section, i)
    left = {"sideways": section.sideways_against_ahead, "edgewise": section.edgewise_against_ahead}
    plane = min(left, key=lambda name: left[name][i])
    least = float(left[plane][i])
    if least >= share:
        return
    yield Finding(
        code="weak-section",
        severity="note",
        part="blade",
        message=(
            f"the tang is weakest at x {show_mm(x)} mm, {names}: against {plane} bending {100 * least:.1f} % of the "
            f"weakest undrilled section between there and the handle front is left, less than {100 * share:g} %; "
            f"{_more_steel(section, i, plane)}. {NO_PROMISE}"
        ),
        measured=least,
        limit=share,
        source=knife.rules.source("weak_section"),
        x=x,
    )


def _names(section: NetSection, i: int) -> str:
    """The holes that a station goes through."""
    ids = section.knife.hole_ids
    which = np.flatnonzero(cutting(float(section.x[i]), section.knife.openings)).tolist()
    return f"hole{'s' if len(which) > 1 else ''} {', '.join(sorted(ids[j] for j in which))}"


def _more_steel(section: NetSection, i: int, plane: str) -> str:
    if plane == "edgewise":
        return "move the holes nearer to the tang's mid height, or make them smaller"
    thick = 2 * float(section.knife.stock.half_thickness(section.x[i : i + 1])[0])
    wanted = section.knife.rules.weak_section * float(section.sideways_ahead[i])
    missing = (wanted - float(section.net.sideways_modulus[i])) * 6 / thick**2
    return f"{show_length(missing)} more steel on that line ends this"
