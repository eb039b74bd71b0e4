"""Reading a maker's script and calling its design with parameters."""

from __future__ import annotations

import ast
import contextlib
import inspect
import os
import sys
import traceback
import types
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final, TypeGuard

from bladegeom.design.override import read_value
from bladegeom.design.suggest import in_plain_words, suggestion
from bladegeom.knife.knife import Knife
from bladegeom.quantities.errors import BladegeomError, ParameterError, UnknownNameError
from bladegeom.quantities.file_errors import ExportError, ScriptError, UnreadableFileError
from bladegeom.quantities.own_python import NO_PYTHON, is_stop, line_in, no_python, words_of
from bladegeom.quantities.plain_files import opened
from bladegeom.quantities.stockroom import noting_taken
from bladegeom.quantities.told import told
from bladegeom.settings.settings import Settings, settings_in_force

_MODULE = "bladegeom_script"

_MOST_BYTES: Final = 10_000_000
"""So that a device or a film named by mistake is not read to its end; own choice."""

_NOTHING: Final[Mapping[str, object]] = {}

_OWN_NAMES = (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef)
"""Statements in which a name that is set is none of the script's top level."""


@dataclass
class _Folder:
    """The folder of a script: its helpers are at hand while the script runs, and out of everybody's way otherwise."""

    script: Path
    modules: dict[str, types.ModuleType] = field(default_factory=dict)
    source: bytes = b""
    settings: Settings = field(default_factory=settings_in_force)
    taken: set[str] = field(default_factory=set)

    @property
    def path(self) -> Path:
        return self.script.resolve().parent

    @contextlib.contextmanager
    def open(self) -> Iterator[None]:
        """While this lasts, imports find what lies beside the script, its prints go to stderr, its settings hold."""
        before, here = set(sys.modules), _current_folder()
        sys.modules.update(self.modules)
        sys.path.insert(0, str(self.path))
        try:
            with contextlib.redirect_stdout(sys.stderr), self.settings.over_script(), noting_taken(self.taken):
                yield
        finally:
            # Paths of the command line count from where it was typed.
            if here is not None and _current_folder() != here:
                os.chdir(here)
            with contextlib.suppress(ValueError):
                sys.path.remove(str(self.path))
            for name in set(sys.modules) - before:
                if name == _MODULE or self._holds(sys.modules[name.partition(".")[0]]):
                    self.modules[name] = sys.modules.pop(name)

    def held(self, name: str) -> object:
        """What the script calls by a name at its top level; None where it has nothing of that name."""
        return vars(self.modules[_MODULE]).get(name)

    def misnamed(self, name: str, is_meant: Callable[[object], bool]) -> str | None:
        """Another name at the top level for what only this one is read by; None where the script uses the name."""
        top = vars(self.modules[_MODULE])
        if name in top:
            return None
        return next((other for other, held in top.items() if not other.startswith("_") and is_meant(held)), None)

    def refused(self, name: str, message: str) -> ScriptError:
        """What is wrong with something that the script calls by a name, with the line that last sets it."""
        top = (statement for statement in ast.parse(self.source).body if not isinstance(statement, _OWN_NAMES))
        lines = [node.lineno for statement in top for node in ast.walk(statement) if _sets(node, name)]
        return ScriptError(str(self.script), message, max(lines, default=None))

    def line(self, error: BaseException) -> tuple[str, int | None]:
        """File and line, in the script or in a helper beside it, from which the error came."""
        if isinstance(error, SyntaxError) and error.filename and Path(error.filename).parent == self.path:
            return error.filename, error.lineno
        places = [
            (frame.filename, frame.lineno)
            for frame in traceback.extract_tb(error.__traceback__)
            if frame.filename == str(self.script) or Path(frame.filename).parent == self.path
        ]
        return places[-1] if places else (str(self.script), None)

    @property
    def helpers(self) -> tuple[Path, ...]:
        """Files of the folder that the script has imported."""
        files = (getattr(module, "__file__", None) for name, module in self.modules.items() if name != _MODULE)
        return tuple(Path(file) for file in files if file)

    def _holds(self, module: types.ModuleType) -> bool:
        inside = list(getattr(module, "__path__", ())) or [getattr(module, "__file__", None) or ""]
        return Path(inside[0]).parent == self.path and module.__name__ != "bladegeom"


def _current_folder() -> Path | None:
    """None where somebody has deleted it."""
    try:
        return Path.cwd()
    except FileNotFoundError:
        return None


@dataclass(frozen=True)
class Script:
    """A script: its design function with the parameters, and what else it holds."""

    function: Callable[..., object]
    parameters: dict[str, inspect.Parameter]
    folder: _Folder

    @property
    def settings(self) -> Settings:
        """That hold while it runs."""
        return self.folder.settings

    def read(self, overrides: Sequence[str]) -> dict[str, object]:
        """Parameters as they are written on the command line.

        Args:
            overrides: "name=value" each.

        Raises:
            UnknownNameError: A parameter that the design does not have.
            ParameterError: A value that cannot be read as what the default is.
        """
        values: dict[str, object] = {}
        for text in overrides:
            name, separator, value = (part.strip() for part in text.partition("="))
            if not separator:
                raise ParameterError("parameter", repr(text), "be written NAME=VALUE")
            self._require_parameter(name)
            values[name] = read_value(self.parameters[name], value)
        return values

    def knife(self, parameters: Mapping[str, object] = _NOTHING) -> tuple[Knife, dict[str, object]]:
        """The knife, and all parameters that it was called with.

        Args:
            parameters: That differ from their defaults.

        Raises:
            ScriptError: The design raises, or returns something else than a Knife; the script's own line is named.
            UnknownNameError: A parameter that the design does not have.
        """
        for name in parameters:
            self._require_parameter(name)
        values = {name: parameters.get(name, p.default) for name, p in self.parameters.items()}
        knife = _run(self.folder, lambda: self.function(**values))
        if not isinstance(knife, Knife):
            got = "nothing; end it with 'return knife'" if knife is None else f"{told(knife)}, not a Knife"
            raise ScriptError(str(self.folder.script), f"design() returned {got}", _first_line(self.function))
        return knife, values

    def _require_parameter(self, name: str) -> None:
        if name not in self.parameters:
            raise UnknownNameError("parameter", name, self.parameters)

    @contextlib.contextmanager
    def named(self, asked: str = "") -> Iterator[None]:
        """While this lasts, whatever goes wrong with the knife is told with the script and the line of its design.

        Args:
            asked: What the command line declares beside the knife, as "printing": the script has no part in it.

        Raises:
            ScriptError: In place of every error but those about files and about names on the command line.
        """
        try:
            yield
        except (ScriptError, UnreadableFileError, ExportError, UnknownNameError, BrokenPipeError):
            raise
        except Exception as error:
            if asked and isinstance(error, ParameterError) and error.part == asked:
                raise
            message = _told(error)
            if not isinstance(error, BladegeomError):
                message += "; something in design() may be declared wrongly, "
                message += "BLADEGEOM_TRACEBACK=1 in the environment tells more"
            raise ScriptError(str(self.folder.script), message, _first_line(self.function)) from error


def load_script(path: Path, settings: Settings | None = None) -> Script:
    """Read and run a script, and find its design.

    Args:
        path: Of it.
        settings: That hold while it runs; None takes those in force.

    Raises:
        ScriptError: It cannot be read, has a mistake, or defines no design(...) whose parameters all have defaults.
    """
    try:
        with opened(path) as file:
            source = file.read(_MOST_BYTES + 1)
    except OSError as error:
        raise ScriptError(str(path), f"the script cannot be read ({error.strerror or error})") from error
    if len(source) > _MOST_BYTES:
        raise ScriptError(str(path), f"the file is larger than {_MOST_BYTES / 1e6:g} MB; no script of a knife is")
    return script_of(path, source, settings)


def script_of(path: Path, source: bytes, settings: Settings | None = None) -> Script:
    """The same of a script whose text is at hand already, as if it lay at a path."""
    try:
        code = compile(source, str(path), "exec", dont_inherit=True)
    except NO_PYTHON as error:
        raise ScriptError(str(path), no_python(error), line_in(error)) from error
    module = types.ModuleType(_MODULE)
    module.__file__, module.__package__ = str(path), ""
    # Dataclasses in a script look their module up there.
    folder = _Folder(path, {_MODULE: module}, source, settings or settings_in_force())
    _run(folder, lambda: exec(code, vars(module)))
    function = vars(module).get("design")
    if not callable(function):
        raise ScriptError(
            str(path), "the script defines no design(); write 'def design(...) -> Knife:' with a default for everything"
        )
    return Script(function, _parameters(path, function), folder)


def _parameters(path: Path, function: Callable[..., object]) -> dict[str, inspect.Parameter]:
    try:
        found = _signature(function).parameters
    except (TypeError, ValueError) as error:
        raise ScriptError(str(path), "design must be a function of its own: def design(...) -> Knife:") from error
    if inspect.iscoroutinefunction(function):
        raise ScriptError(str(path), "design must be a plain function: 'def', without 'async'", _first_line(function))
    for p in found.values():
        if p.kind in (p.VAR_POSITIONAL, p.VAR_KEYWORD, p.POSITIONAL_ONLY) or p.default is p.empty:
            message = f"design(): parameter '{p.replace(annotation=p.empty)}' needs a name and a default value"
            raise ScriptError(str(path), message, _first_line(function))
    return dict(found)


def _signature(function: Callable[..., object]) -> inspect.Signature:
    """With annotations as the types that they name, where they name any."""
    plain = inspect.signature(function)
    try:
        return inspect.signature(function, eval_str=True)
    except Exception:
        # Python never asks what an annotation means, so that one in quotes may mean nothing, and fail in any way.
        return plain


def _sets(node: ast.AST, name: str) -> TypeGuard[ast.Name | ast.alias]:
    """Whether a piece of the script gives a thing that name: an assignment, or an import."""
    if isinstance(node, ast.alias):
        return (node.asname or node.name) == name
    return isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store) and node.id == name


def _first_line(function: Callable[..., object]) -> int | None:
    return function.__code__.co_firstlineno if isinstance(function, types.FunctionType) else None


def _run(folder: _Folder, action: Callable[[], object]) -> object:
    """Run a part of the script; whatever it raises is told with the script's own line, without a library traceback."""
    try:
        with folder.open():
            return action()
    except BaseException as error:
        if is_stop(error):
            raise
        path, line = folder.line(error)
        raise ScriptError(path, _told(error), line) from error


def _told(error: BaseException) -> str:
    text = words_of(error)
    if text is None:
        return f"{type(error).__name__}, an error of the script's own that cannot be put into words"
    if isinstance(error, BladegeomError):
        return text
    if isinstance(error, SystemExit):
        return "the script ends itself with sys.exit(); a design must return its knife"
    if isinstance(error, ImportError) and "relative import" in text:
        return f"{text}; import what lies beside the script without the dot"
    if isinstance(error, SyntaxError):
        return no_python(error)
    text = in_plain_words(error) or (f"{type(error).__name__}: {text}" if text else type(error).__name__)
    return text + suggestion(error)
