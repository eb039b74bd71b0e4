"""Fasteners against the border of the scales: its rounding, and what of a bore would break out of it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from bladegeom.fasteners.layer_stack import LayerStack
from bladegeom.fasteners.scale_border import BorderLine, Room, room_at, scale_lines
from bladegeom.fasteners.stack_fix import down
from bladegeom.holes.clearance import Clearance, clearances
from bladegeom.knife.finding import Finding, Severity
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.placing.legal_place import nearest_legal
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length, show_place

_ON_LINE = "the scale's own border"


@rule(
    Code("scale-bore-outside", ("error",), "a bore breaks out of the scale"),
    Code("in-rounding", ("error",), "a head lies in the steep part of a rounding"),
    Code("scale-rim", ("error",), "too little of the scale is left beside a bore"),
    Code("near-border", ("warning",), "a fastener's centre is too near to the border of the scale"),
    follows=("stack",),
)
def check_stack_border(knife: Knife) -> Iterator[Finding]:
    """All findings about fasteners near the border of the scales or their front."""
    if knife.scales is None or not knife.fasteners:
        return
    lines = scale_lines(knife)
    for i, clear in enumerate(clearances(knife)[: len(knife.fasteners)]):
        # A hole that breaks out of the steel is told of there.
        if clear.rim <= 0 or clear.behind_front <= 0:
            continue
        at = [_Near(LayerStack(knife, i), line, clear) for line in lines]
        out = [finding for near in at for finding in near.outside()]
        yield from out or [finding for near in at for finding in near.rounding()]


@dataclass(frozen=True, eq=False)
class _Near:
    """A fastener and a line that its scale ends at."""

    layers: LayerStack
    line: BorderLine
    clear: Clearance

    @cached_property
    def away(self) -> float:
        """From its axis to the line, mm."""
        fastener = self.layers.fastener
        return float(self.line.away(np.array([fastener.x]), np.array([fastener.y]))[0])

    @cached_property
    def room(self) -> Room:
        """What it needs."""
        return room_at(self.layers, self.line)

    def outside(self) -> Iterator[Finding]:
        """A bore that breaks out."""
        rim = self.away - self.layers.widest / 2
        if rim <= 0:
            text = f"its bore of {show_length(self.layers.widest)} in the scale breaks out at {self.line.name} by "
            narrower = f"hardware narrower by {show_length(_up(-2 * rim))}"
            yield self._finding("scale-bore-outside", "error", text + show_length(-rim), rim, 0.0, _ON_LINE, narrower)

    def rounding(self) -> Iterator[Finding]:
        """A head in the steep part of a rounding, a rim too thin to stay on, or a centre too near."""
        rules, line, strip = self.layers.knife.handle_rules, self.line, self.line.strip
        steep = f"where {line.name} falls off steeper than {rules.steep_deg:g} degrees" if strip else line.name
        inside, rim, centre = self.away - self.room.head, self.away - self.layers.widest / 2, self.away - strip
        if inside < -SHOP:
            text = f"its rim lies {show_length(-inside)} inside the rounding, {steep}"
            narrower = f"what is at most {show_length(_down(2 * centre))} wide at the surface"
            yield self._finding("in-rounding", "error", text, inside, 0.0, rules.source("steep_deg"), narrower)
        elif rim < rules.web - SHOP and rules.web - rim > self._told_by_steel:
            text = (
                f"its bore of {show_length(self.layers.widest)} leaves {show_length(rim)} of the scale to {line.name}, "
            )
            text += f"less than {show_length(rules.web)}"
            narrower = f"what needs a bore of at most {show_length(_down(2 * (self.away - rules.web)))}"
            yield self._finding("scale-rim", "error", text, rim, rules.web, rules.source("web"), narrower)
        elif self.away < self.room.hole - SHOP:
            wanted, hole = rules.edge_diameters * self.layers.hole.diameter, self.layers.hole.diameter
            text = f"its centre is {show_length(centre)} from {steep}, less than {show_length(wanted)} "
            text += f"({rules.edge_diameters:g} x its hole, {show_length(hole)})"
            narrower = f"what goes through a hole of at most {show_length(_down(centre / rules.edge_diameters))}"
            source = rules.source("edge_diameters")
            yield self._finding("near-border", "warning", text, centre, wanted, source, narrower)

    @property
    def _told_by_steel(self) -> float:
        """By how much the hole in the tang is told to move from the same line, mm."""
        rules = self.layers.knife.rules
        if self.line.name == "the handle front":
            return rules.clear_strip - self.clear.behind_front
        return rules.least_rim(self.layers.knife.stock.thickness) - self.clear.rim

    def _finding(
        self, code: str, severity: Severity, text: str, measured: float, limit: float, source: str, narrower: str
    ) -> Finding:
        fastener, place = self.layers.fastener, nearest_legal(self.layers.knife, self.layers.index)
        way = f"there is no room to move it: take {narrower}"
        if place:
            way = f"move it to {show_place(place[0], place[1])}, the nearest place that all rules allow"
        return Finding(
            code=code,
            severity=severity,
            part=self.layers.name,
            message=f"{self.layers.place}: {text}; {way}",
            measured=measured,
            limit=limit,
            source=source,
            x=fastener.x,
            y=fastener.y,
        )


def _up(amount: float) -> float:
    """The next hundredth above, mm: what is told must do."""
    return math.ceil(100 * amount) / 100


def _down(amount: float) -> float:
    """The next whole step below, mm; 0 where there is none."""
    return max(down(amount), 0.0)
