"""The taper of the bar against the blade and the tang."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length, show_mm

_SOURCE = "the taper as declared"


@rule(
    Code("taper-off-the-knife", ("warning",), "the taper has no station on the knife"),
    Code("taper-thins-tang", ("warning", "note"), "the taper leaves the tang thinner than the spine"),
)
def check_taper(knife: Knife) -> Iterator[Finding]:
    """All findings about the taper of a knife."""
    if not knife.stock.taper:
        return
    butt, _, tip, _ = knife.outline.bounds
    stations = [x for x, _ in knife.stock.taper]
    if len(stations) == 1 or stations[0] >= tip or stations[-1] <= butt:
        yield _even(knife)
        return
    yield from _thin_tang(knife)


def _even(knife: Knife) -> Finding:
    """Between its stations there is nothing of the knife: the bar stays even."""
    butt, _, tip, _ = knife.outline.bounds
    left, bar = _stock_at(knife, 0.0), knife.stock.thickness
    does = (
        "it does nothing" if left > bar - SHOP else f"it flattens the whole bar, {show_length(bar)}, to that thickness"
    )
    return Finding(
        code="taper-off-the-knife",
        severity="warning",
        part="blade",
        message=(
            f"the taper leaves the knife {show_length(left)} thick from butt to tip: {does}; give it stations "
            f"(x, thickness) between the butt, x {show_mm(butt)} mm, and the tip, x {show_mm(tip)} mm, or leave it out"
        ),
        measured=left,
        limit=bar,
        source=_SOURCE,
        x=knife.stock.taper[0][0],
    )


def _thin_tang(knife: Knife) -> Iterator[Finding]:
    butt, _, tip, _ = knife.outline.bounds
    inside = [x for x, _ in knife.stock.taper if butt < x < 0.0]
    x = min((butt, *inside, 0.0), key=lambda place: _stock_at(knife, place))
    tang, spine, front = (_stock_at(knife, place) for place in (x, knife.plunge_line.end[0], tip))
    if tang >= spine - SHOP:
        return
    wrong = front > spine + SHOP
    yield Finding(
        code="taper-thins-tang",
        severity="warning" if wrong else "note",
        part="blade",
        message=(
            f"the taper leaves the tang {show_length(tang)} thick at x {show_mm(x)} mm, thinner than the spine at the "
            f"plunge line, {show_length(spine)}"
            + (
                f", and the tip {show_length(front)}: it seems to run the wrong way; a taper thins towards the tip, "
                "stations run (x, thickness) from the butt forward"
                if wrong
                else ": a tapered tang"
            )
        ),
        measured=tang,
        limit=spine,
        source=_SOURCE,
        x=x,
    )


def _stock_at(knife: Knife, x: float) -> float:
    """Thickness of the tapered bar at an x, mm."""
    return float(2 * knife.stock.half_thickness(np.array([x]))[0])
