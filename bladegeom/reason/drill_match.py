"""Rows of the drill card that carry the tang's holes over to a scale: the hard tang is the jig."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bladegeom.body.grind import Flank
from bladegeom.body.knife import Knife
from bladegeom.quantities.interval import give_or_take
from bladegeom.quantities.units import show_length
from bladegeom.reason.drill_level import level
from bladegeom.reason.drill_row import CardRow, Feature, Piece, Work, by_name, grouped, point_depth
from bladegeom.reason.drill_tool import Shelf, drill_named, shelf_of
from bladegeom.reason.drill_transfer import SAME, Transfer


def matched(knife: Knife, todo: Sequence[tuple[str, Transfer]], flank: Flank) -> Iterator[CardRow]:
    """All holes right through one scale and its liners."""
    if not todo:
        return
    part: Work = "right scale" if flank == "right" else "left scale"
    lined = bool(knife.scales and knife.scales.liners)
    under = "liners and scale" if lined else "the scale"
    first = "take the right scale off; " if flank == "left" else ""
    yield CardRow(
        holes=by_name(name for name, _ in todo),
        part=part,
        operation=f"{first}stick or clamp {under} under the {flank} face of the hard tang",
        tool="clamps or double-sided tape, a flat backing board",
        phase="after hardening",
        note=f"Tang on top: its holes lead the drill, never the drawing, for steel grows in hardening. {_PIN}"
        f"{_LOOSE if any(one.scale < one.tang - SAME for _, one in todo) else ''}.{level(knife).on_the_tang}",
    )
    for _, group in grouped((one.reads, (name, one)) for name, one in todo):
        yield from _Carried(part, flank, by_name(name for name, _ in group), group[0][1], shelf_of(knife)).rows()


_PIN = "Drop a rod into each finished hole before the next is drilled"
_LOOSE = "; where the scale's hole is the narrower one, the clamps must hold alone"


def _alike(a: float | None, b: float) -> bool:
    return a is not None and abs(a - b) < SAME


@dataclass(frozen=True)
class _Carried:
    """Holes that are carried over alike."""

    part: Work
    flank: Flank
    names: tuple[str, ...]
    one: Transfer
    shelf: Shelf

    def rows(self) -> Iterator[CardRow]:
        """From the tang's hole to the finished ones."""
        one = self.one
        if one.slot:
            yield self._row(
                "drill both ends through the tang's slot, then file to it",
                one.lead,
                ("liner", "scale"),
                "Take the tang off before filing to the line.",
            )
        elif _alike(one.scale, one.tang):
            yield self._own_size()
        elif one.scale > one.tang:
            yield from self._wider()
        else:
            yield from self._narrower()
        if one.liner is not None and not one.slot and not self._liner_done():
            yield self._row("open the liners, apart from the scale", one.liner, ("liner",), "On a piece of scrap.")

    def _own_size(self) -> CardRow:
        one, done = self.one, self._finished(self.one.tang)
        if one.leads:
            return self._row("drill through the tang's hole", one.lead, done, "The tang's own size.")
        return self._row(
            "drill through the tang's hole, then file or ream to it",
            one.lead,
            done,
            f"No drill of {show_length(one.tang)} is made. Take the tang off before opening to the line.",
        )

    def _wider(self) -> Iterator[CardRow]:
        one, done = self.one, ("liner",) if self.one.leads and _alike(self.one.liner, self.one.tang) else ()
        size = "The tang's own size" if one.leads else "The next size below the tang's"
        yield self._row("drill through the tang's hole", one.lead, done, f"{size}, as a pilot.")
        yield self._row(
            "open up, off the tang",
            one.scale,
            self._finished(one.scale),
            "The tang's hole is narrower: this drill does not go through it.",
        )

    def _narrower(self) -> Iterator[CardRow]:
        one = self.one
        wider = f"The tang's hole is {one.tang - one.scale:.2f} mm wider than this drill and does not lead it"
        yield self._mark() if one.leads else self._punched()
        yield self._row(
            "drill through from the mark",
            one.scale,
            self._finished(one.scale),
            f"{wider}: follow the mark, or use a bushing of {one.tang:.2f} mm with a {one.scale:.2f} mm hole.",
        )

    def _mark(self) -> CardRow:
        """The centre marked with a drill of the tang's hole, which may take the liners to size."""
        one = self.one
        if self._spot_through_liner:
            row = self._row(
                "drill the liners through the tang's hole, and mark the scale",
                one.lead,
                ("liner",),
                "From where the point rests on the liner. The pocket takes the mark out.",
            )
            deep = one.sheets + point_depth(one.tang)
        else:
            row = self._row(
                "mark the centre through the tang's hole, no deeper",
                one.lead,
                (),
                "From where the point rests. So deep, the mark is no wider than the hole to come.",
            )
            deep = point_depth(one.scale)
        return dataclasses.replace(row, depth=give_or_take(deep, 0.0), face="face on the tang")

    def _punched(self) -> CardRow:
        """The centre marked through a hole that no drill fits."""
        row = self._row(
            "mark the centre through the tang's hole",
            self.one.lead,
            (),
            f"No drill of {show_length(self.one.tang)} is made. Two or three taps, the punch turned between them.",
        )
        return dataclasses.replace(row, tool="transfer punch, the widest that goes into the hole")

    @property
    def _spot_through_liner(self) -> bool:
        return _alike(self.one.liner, self.one.tang) and self.one.spot_goes

    def _liner_done(self) -> bool:
        """Whether the liners have their size once the scale has."""
        one = self.one
        if _alike(one.liner, one.scale):
            return True
        led = one.leads and one.scale >= one.tang - SAME and _alike(one.liner, one.tang)
        return led or (one.scale < one.tang and self._spot_through_liner)

    def _finished(self, diameter: float) -> tuple[str, ...]:
        """What a drill finishes that goes right through."""
        return ("liner", "scale") if _alike(self.one.liner, diameter) else ("scale",)

    def _row(self, operation: str, diameter: float, layers: Sequence[str], note: str) -> CardRow:
        lined = self.one.liner is not None
        makes = tuple(
            Feature(hole=name, piece=self._piece(layer), shape="through hole")
            for name in self.names
            for layer in layers
            if layer == "scale" or lined
        )
        return CardRow(
            holes=self.names,
            part=self.part,
            operation=operation,
            tool=drill_named(diameter, self.shelf),
            phase="after hardening",
            makes=makes,
            note=note,
        )

    def _piece(self, layer: str) -> Piece:
        if layer == "liner":
            return "right liner" if self.flank == "right" else "left liner"
        return "right scale" if self.flank == "right" else "left scale"
