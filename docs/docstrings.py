"""What mkdocstrings calls for every docstring that it reads."""

from __future__ import annotations

from typing import Any

from griffe import Extension, Object
from pages import as_markdown


class Docstrings(Extension):
    """Put docstrings into Markdown."""

    def on_object(self, *, obj: Object, **_: Any) -> None:
        """Change one of them."""
        if obj.docstring:
            obj.docstring.value = as_markdown(obj.docstring.value)
