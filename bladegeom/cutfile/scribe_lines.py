"""The lines that are scribed on the steel: handle front, plunge line, grind line; templates and cut files show them."""

from __future__ import annotations

from collections.abc import Iterator

from bladegeom.curves.build import line
from bladegeom.drawing.drawing import SCRIBE_PEN, Item, Path
from bladegeom.grinding.grind_line import grind_line
from bladegeom.knife.grind import Flank
from bladegeom.knife.knife import Knife


def scribe_lines(knife: Knife, face: Flank | None = None) -> Iterator[Item]:
    """Handle front, plunge line and the grind line of a face; of the ground one where none is named."""
    yield Path(layer="MARK", curve=knife.handle_front, pen=SCRIBE_PEN)
    yield Path(layer="MARK", curve=knife.plunge_line, pen=SCRIBE_PEN)
    for row in grind_line(knife, "finished", face or knife.grind.only or "right"):
        yield Path(layer="MARK", curve=line(*((x, y) for x, y in row.tolist())), pen=SCRIBE_PEN)
