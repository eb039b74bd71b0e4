"""What both readers of a DXF ask of it: its unit, the layer of a thing, and what nobody sees on the screen."""

from __future__ import annotations

from typing import Any, Final

from ezdxf.document import Drawing as Document
from ezdxf.entities import DXFTagStorage

from bladegeom.quantities.lettering import visible

_UNITS: Final = {
    1: ("inch", 25.4),
    2: ("foot", 304.8),
    4: ("mm", 1.0),
    5: ("centimetre", 10.0),
    6: ("metre", 1000.0),
    8: ("microinch", 25.4e-6),
    9: ("mil", 0.0254),
    10: ("yard", 914.4),
    13: ("micron", 1e-3),
    14: ("decimetre", 100.0),
}
"""What $INSUNITS names, and how many mm it is. Source: DXF reference, HEADER section."""


def unit_of_drawing(doc: Document) -> tuple[str, float | None]:
    """What a file calls its unit, "" where it says nothing, and how many mm one is, None where that is not known."""
    number = int(doc.header["$INSUNITS"]) if "$INSUNITS" in doc.header else 0
    return _UNITS.get(number, (f"unit number {number}", None)) if number else ("", None)


def layer_of(entity: Any) -> str:
    """On which layer a thing lies, things of a kind that no library knows included; control codes shown as text."""
    if isinstance(entity, DXFTagStorage):
        tags = (tag for part in entity.xtags.subclasses for tag in part)
        return visible(next((str(tag.value) for tag in tags if tag.code == 8), "0"))
    return visible(str(entity.dxf.layer))


class HiddenThings:
    """Tells which things of a file a CAD program does not show, and why."""

    def __init__(self, doc: Document) -> None:
        self._frozen = {visible(layer.dxf.name).lower() for layer in doc.layers if layer.is_frozen()}
        self._off = {visible(layer.dxf.name).lower() for layer in doc.layers if layer.is_off()}

    def why(self, entity: Any, layer: str) -> str:
        """Either "invisible", "frozen", "switched off", or "" for what is shown."""
        if not isinstance(entity, DXFTagStorage) and entity.dxf.get("invisible", 0):
            return "invisible"
        key = layer.lower()
        return "frozen" if key in self._frozen else "switched off" if key in self._off else ""
