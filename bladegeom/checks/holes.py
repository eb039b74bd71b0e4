"""Holes against the rules: rim, edge distance, web, clear strip, drill index, and whether they leave any steel."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from bladegeom.holes.clearance import Clearance, clearances, towards_butt, webs
from bladegeom.holes.cut_holes import cut_holes
from bladegeom.knife.finding import Finding, Severity
from bladegeom.knife.hole import Made, Opening
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.mass.weigh import weigh
from bladegeom.placing.legal_place import nearest_legal
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length, show_place


@rule(
    Code("hole-outside", ("error",), "a hole lies outside the steel or breaks out of it"),
    Code("rim", ("error",), "too little steel is left between a hole and the outline"),
    Code("edge-distance", ("error",), "a hole's centre is too near to the outline for its diameter"),
    Code("holes-overlap", ("error",), "two holes run into each other"),
    Code("holes-take-all", ("error",), "the holes leave nothing of the steel"),
    Code("web", ("error",), "too little steel is left between two holes"),
    Code("clear-strip", ("error",), "a hole is too near to the handle front"),
    Code("no-drill", ("warning",), "the shop has no drill of that size"),
    follows=("holes",),
)
def check_holes(knife: Knife) -> Iterator[Finding]:
    """All findings about the holes of a knife."""
    for cut, clear in zip(cut_holes(knife), clearances(knife), strict=True):
        hole, name = cut.opening, cut.name
        yield from _outline(knife, hole, name, clear)
        yield from _front(knife, hole, name, clear)
        yield from _tool(knife, hole, name, cut.finish)
    yield from _others(knife)
    yield from _all(knife)


def _finding(
    hole: Opening,
    code: str,
    message: str,
    measured: float,
    limit: float,
    source: str,
    severity: Severity = "error",
) -> Finding:
    return Finding(
        code=code,
        severity=severity,
        part="blade",
        message=message,
        measured=measured,
        limit=limit,
        source=source,
        x=hole.x,
        y=hole.y,
    )


def _place(hole: Opening, name: str) -> str:
    return f"hole {name} at {show_place(hole.x, hole.y)}"


def _outline(knife: Knife, hole: Opening, name: str, clear: Clearance) -> Iterator[Finding]:
    rules = knife.rules
    least = rules.least_rim(knife.stock.thickness)
    if clear.rim <= 0:
        out = "lies outside the steel" if clear.edge_distance < 0 else "breaks through the outline"
        place = nearest_legal(knife, knife.hole_ids.index(name))
        way = f"move it {show_length(least - clear.rim)} inwards"
        if place:
            way = f"move it to {show_place(place[0], place[1])}, the nearest place that all rules allow"
        text = f"{_place(hole, name)} {out}; {way}"
        yield _finding(hole, "hole-outside", text, clear.rim, least, _rim_source(knife))
        return
    if clear.rim < least - SHOP:
        text = (
            f"{_place(hole, name)}: its rim is {show_length(clear.rim)}, less than {show_length(least)}; move it "
            f"{show_length(least - clear.rim)} inwards{_smaller(hole, clear.rim - least)}"
        )
        yield _finding(hole, "rim", text, clear.rim, least, _rim_source(knife))
    wanted = rules.edge_distance(hole.diameter)
    if clear.edge_distance < wanted - SHOP:
        text = (
            f"{_place(hole, name)}: its centre is {show_length(clear.edge_distance)} from the outline, less than "
            f"{show_length(wanted)} ({wanted / hole.diameter:.4g} x its diameter); move it "
            f"{show_length(wanted - clear.edge_distance)} inwards"
        )
        source = rules.edge_source(hole.diameter)
        yield _finding(hole, "edge-distance", text, clear.edge_distance, wanted, source)


def _others(knife: Knife) -> Iterator[Finding]:
    """Every pair of holes that stand too near each other, told by the one whose name comes first."""
    if len(knife.openings) < 2:
        return
    least, source, apart = knife.rules.least_web(knife.stock.thickness), _web_source(knife), webs(knife.openings)
    for i, j in itertools.combinations(sorted(range(len(knife.openings)), key=lambda i: knife.hole_ids[i]), 2):
        web, hole, other = float(apart[i, j]), knife.openings[i], knife.hole_ids[j]
        if web > 0 and web >= least - SHOP:
            continue
        where = _place(hole, knife.hole_ids[i])
        if web <= 0:
            text = f"{where} runs into hole {other}; move them {show_length(least - web)} apart"
            yield _finding(hole, "holes-overlap", text, web, least, source)
        else:
            text = (
                f"{where}: the web to hole {other} is {show_length(web)}, less than {show_length(least)}; move them "
                f"{show_length(least - web)} apart{_smaller(hole, web - least)}"
            )
            yield _finding(hole, "web", text, web, least, source)


def _all(knife: Knife) -> Iterator[Finding]:
    weighing = weigh(knife)
    if weighing.blank.amount > 0:
        return
    yield Finding(
        code="holes-take-all",
        severity="error",
        part="blade",
        message="the holes leave nothing of the steel, and so no mass and no balance; make them narrower, or fewer",
        measured=0.0,
        limit=weighing.plate.amount,
        source="geometry of the declared holes",
    )


def _front(knife: Knife, hole: Opening, name: str, clear: Clearance) -> Iterator[Finding]:
    limit = knife.rules.clear_strip
    if clear.behind_front < limit - SHOP:
        missing = towards_butt(knife, hole, limit)
        least = show_length(limit)
        side = f"less than {least}; " if clear.behind_front >= 0 else f"and must be {least} behind it; "
        text = (
            f"{_place(hole, name)}: its rim is {show_length(abs(clear.behind_front))} "
            f"{'behind' if clear.behind_front >= 0 else 'ahead of'} the handle front, {side}"
            f"move it {show_length(missing)} towards the butt"
        )
        yield _finding(hole, "clear-strip", text, clear.behind_front, limit, knife.rules.source("clear_strip"))


def _tool(knife: Knife, hole: Opening, name: str, finish: Made) -> Iterator[Finding]:
    if finish == "cut":
        return
    nearest = min(knife.shop.drills, key=lambda d: abs(d.diameter - hole.diameter))
    if abs(nearest.diameter - hole.diameter) > SHOP:
        text = (
            f"{_place(hole, name)}: the index has no drill of {show_length(hole.diameter)}; the nearest is "
            f"{nearest.name}, {show_length(nearest.diameter)}"
        )
        source = "the shop's drill index"
        yield _finding(hole, "no-drill", text, hole.diameter, nearest.diameter, source, severity="warning")


def _smaller(hole: Opening, missing: float) -> str:
    """The other way out of a narrow place: a smaller hole, where one is left."""
    left = hole.diameter + 2 * missing
    return f", or make it no wider than {show_length(left)}" if left > 1.0 else ""


def _rim_source(knife: Knife) -> str:
    rules = knife.rules
    by_thickness = rules.per_thickness * knife.stock.thickness > rules.rim
    return rules.source("per_thickness" if by_thickness else "rim")


def _web_source(knife: Knife) -> str:
    rules = knife.rules
    by_thickness = rules.per_thickness * knife.stock.thickness > rules.web
    return rules.source("per_thickness" if by_thickness else "web")
