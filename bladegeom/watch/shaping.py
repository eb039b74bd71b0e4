"""A script while its knife is shaped: what is turned, the last good picture, and what follows from it."""

from __future__ import annotations

import linecache
import math
import threading
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Final

from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.file_errors import ExportError, ScriptError
from bladegeom.quantities.paths import agreed_file, order_file
from bladegeom.watch.process import LIMIT, NOTHING_ASKED, Asked, Ended, Plain, ScriptProcess, Superseded

_NO_PICTURE: Final[Plain] = {"title": "", "svg": "", "x_range": [0.0, 1.0], "stations": [], "parameters": []}
_NOTHING: Final[Plain] = {
    "title": "",
    "numbers": [],
    "balance": None,
    "findings": [],
    "since": "",
    "changes": [],
    "sections": [],
}


class Shaping:
    """One script that is watched. It may be asked from several threads.

    Two warm processes run the script: one draws, one judges, so that no picture waits for a finding; the one that
    judges lets the other go first.

    Args:
        script: The script.
        limit: A script that takes longer is ended, s.
        settings: That go before those of the machine and of the script, by key.
    """

    def __init__(self, script: Path, *, limit: float = LIMIT, settings: Asked = NOTHING_ASKED) -> None:
        self._path = script
        self._lock = threading.Lock()
        self._state = self._saves = 0
        self._texts: dict[str, str] = {}
        self._watched = frozenset((script, order_file(script), agreed_file(script)))
        self._drawing, self._judging = (
            _Worker(ScriptProcess(script, limit=limit, settings=settings, patient=patient)) for patient in (False, True)
        )

    @property
    def watched(self) -> frozenset[Path]:
        """Files whose save means to look again: the script, its order, and what it imports from beside it."""
        return self._watched

    @property
    def state(self) -> int:
        """A number that grows with every save and every move."""
        return self._state

    def saved(self) -> None:
        """Read the script again when next asked; what is turned stays turned as far as there is such a parameter."""
        with self._lock:
            self._saves += 1
            self._changed()

    def move(self, values: Mapping[str, str]) -> None:
        """Turn parameters.

        Args:
            values: All that differs from the script, as a maker types it; what is not named stands as in the script.
        """
        with self._lock:
            self._texts = dict(values)
            self._changed()

    def picture(self) -> Plain:
        """Side view, where sections tell most, and parameters; in an error the last good view, and what is wrong."""
        told = self._asked(self._drawing, "picture")
        shown: Plain = {"name": self._path.stem, **_NO_PICTURE, **self._drawing.good, **told}
        shown["parameters"] = told["parameters"] or self._drawing.good.get("parameters", [])
        if told["error"] is None:
            self._drawing.good = shown
        return shown

    def sections(self, stations: Sequence[float] = ()) -> Plain:
        """Sections of the knife at places along x, mm; without any at those that tell most. As quick as a picture."""
        told = self._asked(self._drawing, "sections", _places(stations))
        return {"sections": [], **_without_parameters(told)}

    def judged(self, stations: Sequence[float] = ()) -> Plain:
        """Sizes, mass, balance, findings, sections and what differs; in an error those of the last good knife."""
        told = _without_parameters(self._asked(self._judging, "judged", _places(stations)))
        shown: Plain = {**_NOTHING, **self._judging.good, **told}
        if told["error"] is None:
            self._judging.good = shown
        return shown

    def write(self) -> str:
        """Put what is turned into the script as the defaults of its design.

        Returns:
            What was written, in words.

        Raises:
            ScriptError: The script cannot be changed so, or is not what was read.
            ExportError: The file cannot be written.
        """
        with self._lock:
            turned = dict(self._texts)
        told = self._asked(self._drawing, "write", turned=turned)
        error = told["error"]
        if error is not None:
            raise ScriptError(error["file"], error["message"], error["line"])
        if told["unwritten"]:
            raise ExportError(told["unwritten"])
        with self._lock:
            # What was turned meanwhile stays turned.
            self._texts = {name: text for name, text in self._texts.items() if turned.get(name) != text}
            self._saves += 1
            self._changed()
        return str(told["words"])

    def close(self) -> None:
        """End both processes; whoever waits for an answer is told so."""
        for worker in (self._drawing, self._judging):
            worker.process.close()

    def _changed(self) -> None:
        self._state += 1
        for worker in (self._drawing, self._judging):
            worker.process.supersede()

    def _asked(self, worker: _Worker, what: str, *arguments: object, turned: Mapping[str, str] | None = None) -> Plain:
        """What a bench answers about the newest state, each question once; or, each time, about what is turned."""
        with worker.lock:
            while True:
                with self._lock:
                    state, save, texts = self._state, self._saves, dict(self._texts)
                if turned is None and worker.asked.get(what) == (state, arguments):
                    return worker.answers[what]
                try:
                    told = {
                        "state": state,
                        **worker.process.ask(save, what, texts if turned is None else turned, *arguments),
                    }
                except Superseded:
                    continue
                except Ended as ended:
                    told = {"state": state, "parameters": [], "watched": [], "error": _told(ended, self._path)}
                self._watched |= frozenset(map(Path, told.pop("watched")))
                worker.asked[what], worker.answers[what] = (state, arguments), told
                return told


class _Worker:
    """A process, who may ask it, what it answered last, and its last good answer."""

    def __init__(self, process: ScriptProcess) -> None:
        self.process = process
        self.lock = threading.Lock()
        self.asked: dict[str, tuple[int, tuple[object, ...]]] = {}
        self.answers: dict[str, Plain] = {}
        self.good: Plain = {}
        process.start()


def _places(stations: Sequence[float]) -> tuple[float, ...]:
    """Places that can be shown, or brought to where something can.

    Raises:
        ParameterError: One is no finite number.
    """
    places = tuple(map(float, stations))
    for x in places:
        if not math.isfinite(x):
            raise ParameterError("section: x", x, "be a finite number of mm")
    return places


def _without_parameters(told: Plain) -> Plain:
    """The picture tells of them."""
    return {key: value for key, value in told.items() if key != "parameters"}


def _told(ended: Ended, script: Path) -> Plain:
    file = Path(ended.file) if ended.file else script
    source = linecache.getline(str(file), ended.line).rstrip() if ended.line else ""
    return {"message": str(ended), "file": file.name, "line": ended.line, "source": source, "parameter": None}
