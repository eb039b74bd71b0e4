"""Bores of the fasteners: the play of rods, the drills of the scales, and the webs between neighbours."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from bladegeom.fasteners.layer_stack import LayerStack
from bladegeom.fasteners.stack import stacks
from bladegeom.fasteners.stack_parts import ChosenHole
from bladegeom.handle.parts import bare_holes
from bladegeom.holes.clearance import webs
from bladegeom.holes.cut_holes import cut_holes
from bladegeom.knife.finding import Finding
from bladegeom.knife.hardware.bore import drill_for
from bladegeom.knife.hole import Hole, Opening
from bladegeom.knife.knife import Knife
from bladegeom.knife.limits import PRACTICE
from bladegeom.knife.rule import Code, rule
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length, show_place


@rule(
    Code("tang-play", ("warning",), "a rod has too little or too much play in the tang"),
    Code("scale-play", ("warning",), "a rod has too little or too much play in the scales"),
    Code("no-drill", ("warning",), "the shop has no drill for a hole in the scales"),
    Code("scale-web", ("error",), "too little of the scale is left between two bores"),
    follows=("stack",),
)
def check_stack_bores(knife: Knife) -> Iterator[Finding]:
    """All findings about the bores of a knife's fasteners, but for those in the steel."""
    yield from _plays(knife)
    if knife.scales is not None:
        yield from _drills(knife)
        yield from _webs(knife)


def _plays(knife: Knife) -> Iterator[Finding]:
    """Holes that the maker chose; once for all alike."""
    told = set()
    for stack in stacks(knife):
        if stack.hardware in told:
            continue
        told.add(stack.hardware)
        for hole in stack.hardware.chosen_holes:
            if hole.layer == "tang" or knife.scales is not None:
                yield from _play(stack.layers, hole)


def _play(layers: LayerStack, hole: ChosenHole) -> Iterator[Finding]:
    fastener, layer, size = layers.fastener, hole.layer, hole.goes_through
    room, (low, high) = hole.drill.diameter - size, hole.play
    if low - SHOP <= room <= high + SHOP:
        return
    better = drill_for(size, hole.play, layers.knife.shop.drills)
    tight = room < low
    yield Finding(
        code=f"{layer}-play",
        severity="warning",
        part=layers.name,
        message=(
            f"{layers.place}: {show_length(room)} of play in the "
            f"{layer}'s hole, {'less' if tight else 'more'} than {show_length(low if tight else high)}; drill it "
            f"{better.name}, {show_length(better.diameter)} ({layer}_hole={better.name!r})"
        ),
        measured=room,
        limit=low if tight else high,
        source=PRACTICE,
        x=fastener.x,
        y=fastener.y,
    )


def _drills(knife: Knife) -> Iterator[Finding]:
    """Drills for the scales that the shop lacks, each once, and none that a hole in the tang asks for too."""
    told = [hole.opening.diameter for hole in cut_holes(knife) if hole.finish != "cut"]
    for i, bores in enumerate(knife.bores):
        for bore in bores:
            if bore.layer == "tang" or any(abs(bore.diameter - d) <= SHOP for d in told):
                continue
            told.append(bore.diameter)
            nearest = min(knife.shop.drills, key=lambda drill: abs(drill.diameter - bore.diameter))
            if abs(nearest.diameter - bore.diameter) > SHOP:
                fastener = knife.fasteners[i]
                yield Finding(
                    code="no-drill",
                    severity="warning",
                    part="scales",
                    message=(
                        f"{LayerStack(knife, i).place}: no drill of {show_length(bore.diameter)} in the "
                        f"index for its hole in the scales; get a {bore.drill.name} drill; the nearest there is, "
                        f"{nearest.name}, is {show_length(nearest.diameter)}"
                    ),
                    measured=bore.diameter,
                    limit=nearest.diameter,
                    source="the shop's drill index",
                    x=fastener.x,
                    y=fastener.y,
                )


def _webs(knife: Knife) -> Iterator[Finding]:
    """Neighbours whose widest bores in the scale leave too little between them, unless the steel asks for more."""
    bare = bare_holes(knife)
    wide: tuple[Opening, ...] = (*(_widest(knife, i) for i in range(len(knife.fasteners))), *bare)
    if len(wide) < 2:
        return
    of_holes = dict(zip(knife.holes, knife.hole_ids[len(knife.fasteners) :], strict=True))
    names = [*knife.hole_ids[: len(knife.fasteners)], *(of_holes[hole] for hole in bare)]
    in_scale, in_tang = webs(wide), webs((*knife.holes_for_fasteners, *bare))
    least, least_tang = knife.handle_rules.web, knife.rules.least_web(knife.stock.thickness)
    for i, j in itertools.combinations(sorted(range(len(wide)), key=lambda i: names[i]), 2):
        web = float(in_scale[i, j])
        if web >= least - SHOP or least - web <= least_tang - float(in_tang[i, j]):
            continue
        yield Finding(
            code="scale-web",
            severity="error",
            part="scales",
            message=(
                f"hole {names[i]} at {show_place(wide[i].x, wide[i].y)}: in the scale its bore of "
                f"{show_length(wide[i].diameter)} "
                + (f"runs into that of {names[j]}" if web <= 0 else f"leaves {show_length(web)} to that of {names[j]}")
                + f", less than {show_length(least)}; move them {show_length(least - web)} apart"
            ),
            measured=web,
            limit=least,
            source=knife.handle_rules.source("web"),
            x=wide[i].x,
            y=wide[i].y,
        )


def _widest(knife: Knife, i: int) -> Hole:
    """Of a fastener's bores in the scale."""
    fastener = knife.fasteners[i]
    return Hole(x=fastener.x, y=fastener.y, diameter=LayerStack(knife, i).widest, purpose="fastener")
