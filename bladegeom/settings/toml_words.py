"""Plain values as TOML writes them."""

from __future__ import annotations

import json
from typing import Any


def toml_words(value: Any) -> str:
    """A number, a text or a list of these.

    >>> toml_words(["letter", "6.5 mm"]), toml_words(3.0), toml_words(True)
    ('["letter", "6.5 mm"]', '3.0', 'true')
    """
    if isinstance(value, list):
        return f"[{', '.join(map(toml_words, value))}]"
    # Texts and truth values are written as in JSON.
    return repr(value) if isinstance(value, float) else json.dumps(value)
