"""A design on the desk that is no knife: a plate with the numbers of a rectangle, to test the server alone."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from bladegeom.quantities.file_errors import ExportError

LENGTH, HEIGHT, BEHIND = 100.0, 30.0, 60.0


class Plate:
    """Its script is a file that holds a length, and nothing else.

    Args:
        script: The file.
        before_picture: Is called in the thread that draws.
    """

    def __init__(self, script: Path, before_picture: Callable[[], object] = lambda: None) -> None:
        self.script, self.before_picture = script, before_picture
        self.after_picture: Callable[[], object] = lambda: None
        self.state = 0
        self.values: dict[str, str] = {}
        self.closed = False
        self.error: dict[str, Any] | None = None
        self.length = LENGTH
        self.saved()

    @property
    def watched(self) -> frozenset[Path]:
        return frozenset({self.script})

    def saved(self) -> None:
        self.state += 1
        self.values = {}
        text = ""
        try:
            text = self.script.read_text(encoding="utf-8")
            self.length, self.error = float(text), None
        except (OSError, ValueError):
            self.error = {"message": "no number", "file": self.script.name, "line": 1, "source": text}

    def move(self, values: Mapping[str, str]) -> None:
        self.state += 1
        self.values = dict(values)

    @property
    def now(self) -> float:
        return float(self.values.get("length", self.length))

    def picture(self) -> dict[str, Any]:
        self.before_picture()
        told = self._told()
        self.after_picture()
        return told

    def _told(self) -> dict[str, Any]:
        box = f"{-BEHIND} {-HEIGHT} {self.now + BEHIND} {HEIGHT}"
        path = f"M{-BEHIND} 0H{self.now}V{-HEIGHT}H{-BEHIND}Z"
        return {
            "state": self.state,
            "title": "Plate",
            "name": self.script.stem,
            "svg": f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}"><path class="outline" d="{path}"/></svg>',
            "x_range": [-BEHIND, self.now],
            "stations": [0.0],
            "parameters": [
                {
                    "name": "length",
                    "kind": "length",
                    "unit": "mm",
                    "value": f"{self.now:g}",
                    "default": f"{self.length:g}",
                    "low": 50.0,
                    "high": 200.0,
                    "step": 1.0,
                    "shown": f"{self.now:g} mm",
                    "choices": [],
                    "moved": bool(self.values),
                    "said": "",
                }
            ],
            "error": self.error,
        }

    def sections(self, stations: Sequence[float] = ()) -> dict[str, Any]:
        cuts = [{"x": x, "svg": "", "thickness": "2 mm", "said": f"at {x:g} mm"} for x in list(stations) or [0.0]]
        return {"state": self.state, "sections": cuts, "error": self.error}

    def judged(self, stations: Sequence[float] = ()) -> dict[str, Any]:
        area = f"{(self.now + BEHIND) * HEIGHT:g} mm2"
        return {
            **self.sections(stations),
            "numbers": [{"key": "area", "label": "plate", "value": area, "second": ""}],
            "balance": {"x": (self.now - BEHIND) / 2, "said": "in the middle"},
            "findings": [],
            "changes": [],
            "since": "",
        }

    def close(self) -> None:
        self.closed = True

    def write(self) -> str:
        if not self.values:
            raise ExportError("nothing is moved")
        words = f"length = {self.now:g}"
        self.script.write_text(f"{self.now:g}", encoding="utf-8")
        self.saved()
        return words
