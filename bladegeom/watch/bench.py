"""One script's knife on the bench: read, called with what is turned, drawn and judged; errors told as values."""

from __future__ import annotations

import importlib
import linecache
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from bladegeom.commands.write_defaults import put_into
from bladegeom.design.declared import settings_of
from bladegeom.design.design import Design
from bladegeom.design.script import Script, load_script
from bladegeom.knife.knife import Knife
from bladegeom.knife.revision_id import revision_id
from bladegeom.quantities.errors import BladegeomError, ParameterError
from bladegeom.quantities.file_errors import ExportError, ScriptError, UnreadableFileError
from bladegeom.quantities.paths import agreed_file, order_file
from bladegeom.quantities.stockroom import SHELVES, stocked
from bladegeom.settings.settings import Settings
from bladegeom.settings.settings_file import read_settings
from bladegeom.watch.dial import Dial, dials
from bladegeom.watch.judgement import changed_dials, changes_told, findings_told, numbers_told
from bladegeom.watch.process import NOTHING_ASKED, Asked, Plain
from bladegeom.watch.section_picture import section_picture, suggested_places
from bladegeom.watch.side_picture import side_picture, side_range

Texts = Mapping[str, str]
"""What is turned: values by the names of parameters, as a maker types them."""


class Bench:
    """A script as it was last saved, with the knife of the values last asked for, and what it was before.

    Args:
        path: The script.
        settings: That go before those of the machine and of the script, by key.
    """

    def __init__(self, path: Path, settings: Asked = NOTHING_ASKED) -> None:
        self._path = path
        self._asked = settings
        self._script: Script | None = None
        self._settings = Settings()
        self._dials: dict[str, Dial] = {}
        self._knife: tuple[dict[str, object], Knife] | None = None
        self._design: tuple[dict[str, object], Design] | None = None
        self._as_saved: Design | None = None
        self._before: Design | None = None
        self._last_changes: list[str] = []

    def picture(self, texts: Texts) -> Plain:
        """Side view and parameters; where something fails the parameters alone, as far as they are known, and why."""
        return self._told(texts, self._picture)

    def sections(self, texts: Texts, stations: Sequence[float]) -> Plain:
        """Sections at places along x, mm; without any at those that tell most."""
        return self._told(texts, lambda values: self._sections(self._knife_of(values), stations))

    def judged(self, texts: Texts, stations: Sequence[float]) -> Plain:
        """What follows from the knife, and what differs from the script as saved, or from the save before."""
        return self._told(texts, lambda values: self._judged(values, stations))

    def write(self, texts: Texts) -> Plain:
        """Put what is turned into the script: what was written in words, or why the file could not be."""
        return self._told(texts, lambda values: self._written(values, texts))

    def forget(self) -> None:
        """The script was saved: whatever is asked for next reads it again."""
        self._before = self._as_saved or self._before
        # Dials stay until another script is loaded: they may be turned while it has a mistake.
        self._script = None
        self._knife = self._design = self._as_saved = None
        linecache.checkcache()
        importlib.invalidate_caches()

    def _told(self, texts: Texts, ask: Callable[[dict[str, object]], Plain]) -> Plain:
        """What is asked for, or the error in its place; with the parameters, and the files to look at."""
        told: Plain = {"error": None}
        try:
            script = self._loaded()
            values = self._read(script, texts)
            self._settings = settings_of(script)
            with script.named(), self._settings.in_force():
                told |= ask(values)
        except ParameterError as error:
            told["error"] = self._error(str(error), None, None) | {"parameter": error.name}
        except ScriptError as error:
            told["error"] = self._error(error.reason, error.path, error.line)
        except UnreadableFileError as error:
            told["error"] = self._error(error.reason, self._place(error.name), error.line)
        except BladegeomError as error:
            told["error"] = self._error(str(error), None, None)
        with self._settings.in_force():
            told["parameters"] = [self._dial_told(dial, texts) for dial in self._dials.values()]
        told["watched"] = [str(path) for path in self._watched(told["error"])]
        return told

    def _loaded(self) -> Script:
        if self._script is None:
            self._settings = read_settings().changed(self._asked, "option")
            self._script = load_script(self._path, self._settings)
            defaults = {name: p.default for name, p in self._script.parameters.items()}
            self._dials = {dial.name: dial for dial in dials(self._script, defaults, ())}
        return self._script

    def _read(self, script: Script, texts: Texts) -> dict[str, object]:
        """Values that differ from the script's own; what the script has no parameter for any more is left out."""
        read = {name: self._dials[name].read(text) for name, text in texts.items() if name in self._dials}
        return {name: value for name, value in read.items() if value != script.parameters[name].default}

    def _knife_of(self, values: dict[str, object]) -> Knife:
        if self._knife is None or self._knife[0] != values:
            first = self._knife is None
            script = self._loaded()
            knife, called = script.knife(values)
            self._knife = (values, knife)
            if first:
                self._dials = {dial.name: dial for dial in dials(script, called, knife.outline.profiles)}
        return self._knife[1]

    def _design_of(self, values: dict[str, object]) -> Design:
        if self._design is None or self._design[0] != values:
            self._design = (values, Design.of_script(self._loaded(), values))
            if not values:
                self._as_saved = self._design[1]
        return self._design[1]

    def _picture(self, values: dict[str, object]) -> Plain:
        knife = self._knife_of(values)
        title = f"{knife.name}, revision {revision_id(knife)}"
        return {
            "title": title,
            "name": self._path.stem,
            "svg": side_picture(knife, title),
            "x_range": list(side_range(knife)),
            "stations": list(suggested_places(knife)),
        }

    def _sections(self, knife: Knife, stations: Sequence[float]) -> Plain:
        shown = [section_picture(knife, x) for x in stations or suggested_places(knife)]
        return {
            "sections": [
                {"x": section.x, "svg": section.svg, "thickness": section.thickness, "said": section.said}
                for section in shown
            ],
        }

    def _judged(self, values: dict[str, object], stations: Sequence[float]) -> Plain:
        design = self._design_of(values)
        return {
            **numbers_told(design),
            "findings": findings_told(design.findings),
            **self._changes(values, design),
            **self._sections(design.knife, stations),
        }

    def _written(self, values: dict[str, object], texts: Texts) -> Plain:
        try:
            lines = put_into(self._loaded(), values, texts)
        except ExportError as error:
            return {"words": "", "unwritten": str(error)}
        words = "; ".join(lines) or "nothing is turned, the script stays as it is"
        return {"words": f"{self._path.name}: {words}", "unwritten": ""}

    def _changes(self, values: dict[str, object], design: Design) -> Plain:
        """What the values turned make other than the script, or else what the last save changed."""
        if not values:
            # A file that is saved again as it was changes nothing, and takes nothing away of what was told.
            self._last_changes = changes_told(self._before, design) or self._last_changes
            return {"since": "the save before", "changes": self._last_changes}
        lines = changed_dials(self._dials, values)
        try:
            saved = self._as_saved or Design.of_script(self._loaded(), {})
        except BladegeomError:
            # The script as it stands makes no knife; then there is nothing to compare with.
            return {"since": "the script", "changes": lines}
        self._as_saved = saved
        return {"since": "the script", "changes": [*lines, *changes_told(saved, design)]}

    def _dial_told(self, dial: Dial, texts: Texts) -> Plain:
        default, text = dial.parameter.default, texts.get(dial.name)
        value, told = default, dial.written(default)
        if text is not None:
            try:
                value = dial.read(text)
                told = dial.written(value)
            except ParameterError:
                # The box keeps what was typed; the error says what is wrong with it.
                told = text
        return {
            "name": dial.name,
            "label": dial.label,
            "kind": dial.kind,
            "unit": dial.unit,
            "value": told,
            "typed": text or told,
            "default": dial.written(default),
            "low": dial.range and dial.range.low,
            "high": dial.range and dial.range.high,
            "step": dial.range and dial.range.step,
            "shown": dial.shown(value),
            "choices": list(dial.choices),
            "moved": told != dial.written(default),
            "said": dial.said,
        }

    def _error(self, message: str, path: str | None, line: int | None) -> Plain:
        file = Path(path or self._path)
        source = linecache.getline(str(file), line).rstrip() if line else ""
        return {"message": message, "file": file.name, "line": line, "source": source, "parameter": None}

    def _place(self, name: str) -> str:
        """Of a file in an error: beside the script, or in the stockroom."""
        beside = self._path.with_name(Path(name).name)
        return str(beside) if beside.exists() else name

    def _watched(self, error: Plain | None) -> tuple[Path, ...]:
        # A script that could not be read may hang on any file beside it.
        helpers = self._script.folder.helpers if self._script else tuple(sorted(self._path.parent.glob("*.py")))
        failed = (self._path.with_name(error["file"]),) if error else ()
        beside = (self._path, order_file(self._path), agreed_file(self._path), *helpers, *failed)
        return tuple(dict.fromkeys((*beside, *self._stocked())))

    def _stocked(self) -> tuple[Path, ...]:
        """All of the maker's own things: which of them a script asks for shows only while it runs."""
        try:
            with self._settings.in_force():
                return tuple(file.path.absolute() for file in stocked(*SHELVES))
        except UnreadableFileError:
            # Whatever asks for one is told that the stockroom cannot be read.
            return ()
