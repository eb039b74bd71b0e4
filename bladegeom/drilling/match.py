"""Rows of the drill card that carry the tang's holes over to a scale: the hard tang is the jig."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from bladegeom.drilling.level import level
from bladegeom.drilling.row import CardRow, Piece, PieceBore, point_depth
from bladegeom.drilling.tool import Shelf, drill_named, drill_under, shelf_of
from bladegeom.drilling.transfer import SAME, Transfer
from bladegeom.fasteners.alike import by_name, grouped
from bladegeom.knife.grind import Flank
from bladegeom.knife.knife import Knife
from bladegeom.knife.rules import Shop
from bladegeom.quantities.interval import give_or_take
from bladegeom.quantities.shown import caliper_length
from bladegeom.quantities.units import show_length


def matched(knife: Knife, todo: Sequence[tuple[str, Transfer]], flank: Flank) -> Iterator[CardRow]:
    """All holes right through one scale and its liners."""
    if not todo:
        return
    part = "right scale" if flank == "right" else "left scale"
    under = _under(knife)
    first = "take the right scale off; " if flank == "left" else ""
    yield CardRow(
        holes=by_name(name for name, _ in todo),
        part=part,
        operation=f"{first}stick or clamp {under} under the {flank} face of the {tang_words(knife)}",
        tool="clamps or double-sided tape, a flat backing board",
        phase="after hardening",
        note=f"Tang on top: its holes lead the drill, never the drawing{_GROWN[knife.stock.hardens]}. {_PIN}"
        f"{_LOOSE if any(hole.scale < hole.tang - SAME for _, hole in todo) else ''}.{level(knife).on_the_tang}",
    )
    for _, group in grouped((transfer.reads, (name, transfer)) for name, transfer in todo):
        names = by_name(name for name, _ in group)
        yield from _Carried(part, flank, names, group[0][1], shelf_of(knife), knife.shop).rows()


def tang_words(knife: Knife) -> str:
    """What leads the drill."""
    return "hard tang" if knife.stock.hardens else "finished tang"


_GROWN: Final = {True: ", for steel grows in hardening", False: ""}


def _under(knife: Knife) -> str:
    """What lies under the tang."""
    scales = knife.scales
    if scales is None or not scales.liners:
        return "the scale"
    return "the scale with its glued liners" if scales.glued_liners else "liners and scale"


BUSHING_WALL: Final = 1.0
"""A bushing with a thinner wall is none, mm. Source: from memory of DIN 179, whose least wall is 1 mm; unconfirmed."""

PILOTED: Final = 3.0
"""A hole to this width is drilled in one go, mm. Source: common practice, no source."""

_PIN = "Drop a rod into each finished hole before the next is drilled"
_LOOSE = "; where the scale's hole is the narrower one, the clamps must hold alone"


_PILOT = "No wider than half the hole to come, so that the mark leads it; a bushing's wall would be too thin."


def _alike(a: float | None, b: float) -> bool:
    return a is not None and abs(a - b) < SAME


@dataclass(frozen=True)
class _Carried:
    """Holes that are carried over alike."""

    part: str
    flank: Flank
    names: tuple[str, ...]
    transfer: Transfer
    shelf: Shelf
    shop: Shop

    def rows(self) -> Iterator[CardRow]:
        """From the tang's hole to the finished ones."""
        transfer = self.transfer
        if transfer.slot:
            yield self._row(
                "drill both ends through the tang's slot, then file to it",
                transfer.lead,
                ("liner", "scale"),
                "Take the tang off before filing to the line.",
            )
        elif _alike(transfer.scale, transfer.tang):
            yield self._own_size()
        elif transfer.scale > transfer.tang:
            yield from self._wider()
        else:
            yield from self._narrower()
        if transfer.liner is not None and not transfer.slot and not self._liner_done():
            yield from self._liners_opened(transfer.liner)

    def _liners_opened(self, diameter: float) -> Iterator[CardRow]:
        """Liners whose hole is wider than the scale's; glued ones to the scale's face, unless the pocket does it."""
        if self.transfer.pocket_opens:
            return
        if not self.transfer.glued:
            yield self._row("open the liners, apart from the scale", diameter, ("liner",), "On a piece of scrap.")
            return
        row = self._row("open the glued liners, flat-bottomed", diameter, ("liner",), "No deeper than they are thick.")
        flat = f"{row.tool}, ground flat; or an end mill as wide"
        deep = give_or_take(self.transfer.sheets, self.shop.tolerances.depth_stop)
        yield dataclasses.replace(row, tool=flat, depth=deep, face="liner's inside face")

    def _own_size(self) -> CardRow:
        transfer, done = self.transfer, self._finished(self.transfer.tang)
        if transfer.leads:
            return self._row("drill through the tang's hole", transfer.lead, done, "The tang's own size.")
        return self._row(
            "drill through the tang's hole, then file or ream to it",
            transfer.lead,
            done,
            f"No drill of {show_length(transfer.tang)} is made. Take the tang off before opening to the line.",
        )

    def _wider(self) -> Iterator[CardRow]:
        transfer, done = (
            self.transfer,
            ("liner",) if self.transfer.leads and _alike(self.transfer.liner, self.transfer.tang) else (),
        )
        size = "The tang's own size" if transfer.leads else "The next size below the tang's"
        yield self._row("drill through the tang's hole", transfer.lead, done, f"{size}, as a pilot.")
        yield self._row(
            "open up, off the tang",
            transfer.scale,
            self._finished(transfer.scale),
            "The tang's hole is narrower: this drill does not go through it.",
        )

    def _narrower(self) -> Iterator[CardRow]:
        transfer = self.transfer
        wider = (
            f"The tang's hole is {caliper_length(transfer.tang - transfer.scale)} wider than this drill and does not "
            "lead it"
        )
        yield self._mark() if transfer.leads else self._punched()
        if (transfer.tang - transfer.scale) / 2 >= BUSHING_WALL:
            told = (
                f"follow the mark, or use a bushing of {caliper_length(transfer.tang)} with a "
                f"{caliper_length(transfer.scale)} hole"
            )
        elif transfer.scale <= PILOTED:
            told = "follow the mark"
        else:
            pilot = drill_under(transfer.scale, transfer.scale / 2, self.shop.drills).diameter
            yield self._row("drill a pilot through from the mark", pilot, (), _PILOT)
            yield self._row(
                "step up to size, led by the pilot", transfer.scale, self._finished(transfer.scale), f"{wider}."
            )
            return
        yield self._row(
            "drill through from the mark", transfer.scale, self._finished(transfer.scale), f"{wider}: {told}."
        )

    def _mark(self) -> CardRow:
        """The centre marked with a drill of the tang's hole, which may take the liners to size."""
        transfer = self.transfer
        if self._spot_through_liner:
            row = self._row(
                "drill the liners through the tang's hole, and mark the scale",
                transfer.lead,
                ("liner",),
                "From where the point rests on the liner. The pocket takes the mark out.",
            )
            deep = transfer.sheets + point_depth(transfer.tang)
        else:
            row = self._row(
                "mark the centre through the tang's hole, no deeper",
                transfer.lead,
                (),
                "From where the point rests. So deep, the mark is no wider than the hole to come.",
            )
            deep = point_depth(transfer.scale)
        return dataclasses.replace(row, depth=give_or_take(deep, 0.0), face="face on the tang")

    def _punched(self) -> CardRow:
        """The centre marked through a hole that no drill fits."""
        row = self._row(
            "mark the centre through the tang's hole",
            self.transfer.lead,
            (),
            f"No drill of {show_length(self.transfer.tang)} is made. Two or three taps, the punch turned between them.",
        )
        return dataclasses.replace(row, tool="transfer punch, the widest that goes into the hole")

    @property
    def _spot_through_liner(self) -> bool:
        return _alike(self.transfer.liner, self.transfer.tang) and self.transfer.spot_goes

    def _liner_done(self) -> bool:
        """Whether the liners have their size once the scale has."""
        transfer = self.transfer
        if _alike(transfer.liner, transfer.scale):
            return True
        led = transfer.leads and transfer.scale >= transfer.tang - SAME and _alike(transfer.liner, transfer.tang)
        return led or (transfer.scale < transfer.tang and self._spot_through_liner)

    def _finished(self, diameter: float) -> tuple[str, ...]:
        """What a drill finishes that goes right through."""
        return ("liner", "scale") if _alike(self.transfer.liner, diameter) else ("scale",)

    def _row(self, operation: str, diameter: float, layers: Sequence[str], note: str) -> CardRow:
        lined = self.transfer.liner is not None
        makes = tuple(
            PieceBore(hole=name, piece=self._piece(layer), shape="through hole")
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
