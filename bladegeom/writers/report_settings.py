"""Lines of the report about settings: what a print needs to know, and whatever is not built in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from bladegeom.settings.keys import keys
from bladegeom.settings.value_words import value_words

_ALWAYS: Final = ("paper", "units", "printer", "hand_breadth", "shop.contact_wheels", "shop.drills", "shop.process")


def settings_lines(settings: Mapping[str, Mapping[str, Any]]) -> Iterator[str]:
    """A line for each setting that is told, with its value and where it comes from."""
    rest = 0
    for name, key in keys().items():
        told = settings.get(name)
        if told is None:
            continue
        if name in _ALWAYS or told["source"] != "built in":
            yield f"{name:<32} {value_words(key, told['value'])}  [{told['source']}]"
        else:
            rest += 1
    if taken := settings.get("from_stockroom"):
        yield f"{'from your stockroom':<32} {', '.join(taken['value'])}  [{taken['source']}]"
    yield f"{rest} others are built in: bladegeom settings"
