"""The report of a design as JSON."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any


def as_json(content: Mapping[str, Any]) -> str:
    """The report as JSON text in plain ASCII; the same report gives the same text.

    >>> from bladegeom import report
    >>> print(as_json(report(design))[:33])
    {
      "format": "bladegeom-report",
    """
    return json.dumps(content, indent=2, allow_nan=False) + "\n"
