"""Which settings a design is made with, and where each comes from."""

from __future__ import annotations

from collections.abc import Sequence
from operator import attrgetter
from typing import Any, Final

from bladegeom.design.design import Design
from bladegeom.drawing.printer import Printer
from bladegeom.settings.keys import keys
from bladegeom.settings.value_words import plain_value

_IN_KNIFE: Final = {
    "hole_rules": "rules",
    "handle_rules": "handle_rules",
    "shop": "shop",
    "hand_breadth": "hand_breadth",
}
"""What the knife holds of the settings, and what it calls that."""

_OF_NO_DESIGN: Final = ("price_list", "stockroom", "maker")
"""Files on one machine, and who signs: they say nothing of a knife."""


def settings_report(
    design: Design, *, papers: Sequence[str] | None = None, printer: Printer | None = None
) -> dict[str, dict[str, Any]]:
    """Each setting by its key, with ``value`` and ``source``.

    ``from_stockroom`` tells which files of the maker's own its script took, where it took any.

    What the knife holds and the settings do not say is the script's. A script that says the same as the settings file
    is told as the file.

    Args:
        design: Of which it is told.
        papers: That were asked for in place of the setting.
        printer: The same.
    """
    settings = design.settings
    asked = {"paper": papers, "printer": None if printer == settings.printer else printer}
    out = {}
    for key in keys():
        value, source = attrgetter(key)(settings), settings.source(key)
        if asked.get(key) is not None:
            value, source = asked[key], "option"
        elif (first := key.partition(".")[0]) in _IN_KNIFE:
            held = attrgetter(_IN_KNIFE[first] + key.removeprefix(first))(design.knife)
            value, source = held, (source if held == value else "script")
        if key not in _OF_NO_DESIGN:
            out[key] = {"value": plain_value(value), "source": source}
        if key == "stockroom" and design.taken:
            out["from_stockroom"] = {"value": list(design.taken), "source": source}
    return out
