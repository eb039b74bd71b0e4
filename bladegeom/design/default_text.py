"""New defaults in the text of a script: which characters of it are replaced, and by what; nothing else is touched."""

from __future__ import annotations

import ast
import inspect
import io
import re
import tokenize
import types
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from bladegeom.design.script import Script
from bladegeom.quantities.file_errors import ScriptError

_LINE_END: Final = re.compile(r"\r\n|\r|\n")
"""What Python takes for the end of a line; a form feed and the separators of Unicode are none."""

_INCHES: Final = re.compile(r"(?P<number>.*?[0-9¼½¾⅛⅜⅝⅞])\s*(?:in|inch|inches|[\"″”])\s*", re.IGNORECASE)
_DECIMAL: Final = re.compile(r"[-+]?\s*[0-9]*\.?[0-9]*")

_SCOPES: Final = (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef, ast.Lambda)


@dataclass(frozen=True, kw_only=True)
class DefaultEdit:
    """One default that is written anew.

    Args:
        name: Of the parameter.
        old: The default as the script writes it.
        new: As it is to be written.
        start: Of the old text, in characters of the script.
    """

    name: str
    old: str
    new: str
    start: int

    @property
    def words(self) -> str:
        """What is written anew."""
        return f"{self.name}: {self.old} becomes {self.new}"


@dataclass(frozen=True, kw_only=True)
class _Default:
    """A default in a script's text."""

    node: ast.expr
    start: int
    end: int


def with_defaults(
    script: Script, values: Mapping[str, object], typed: Mapping[str, str]
) -> tuple[bytes, tuple[DefaultEdit, ...]]:
    """The script with other defaults, all else byte for byte as it is, and what is replaced, first to last.

    A default that is a call of ``inch`` or ``length`` stays one where the new value was typed in inches.

    Args:
        script: As it was read.
        values: By the names of parameters.
        typed: What a maker wrote for some of them.

    Raises:
        ScriptError: The defaults do not stand in this script, or cannot be replaced without losing something else.
    """
    text, encoding = _decoded(script)
    tree = ast.parse(text)
    definition = _definition(script, tree)
    places = dict(_defaults(definition, text))
    edits = []
    for name, value in values.items():
        there = places.get(name)
        if there is None:
            message = f"the default of {name} does not stand in the 'def' of design(); change it by hand"
            raise ScriptError(str(script.folder.script), message, definition.lineno)
        old = text[there.start : there.end]
        if any(token.type == tokenize.COMMENT for token in _tokens(old)):
            message = f"the default of {name} holds a comment, which would be lost; put the comment behind it"
            raise ScriptError(str(script.folder.script), message, there.node.lineno)
        new = _written(there.node, old, value, typed.get(name), encoding)
        edits.append(DefaultEdit(name=name, old=old, new=new, start=there.start))
    edits.sort(key=lambda edit: edit.start)
    changed, end = "", 0
    for edit in edits:
        changed += text[end : edit.start] + edit.new
        end = edit.start + len(edit.old)
    changed += text[end:]
    _require_same(script, tree, changed, set(values))
    return changed.encode(encoding), tuple(edits)


def _decoded(script: Script) -> tuple[str, str]:
    """The script's text, line ends as they are, and its encoding."""
    source = script.folder.source
    # It is looked for in the first two lines; a line may end as on any system.
    lines = io.BytesIO(source.replace(b"\r\n", b"\n").replace(b"\r", b"\n"))
    encoding, _ = tokenize.detect_encoding(lines.readline)
    text = source.decode(encoding)
    if text.encode(encoding) != source:
        message = f"its encoding, {encoding}, does not give the same bytes again; save the script as UTF-8"
        raise ScriptError(str(script.folder.script), message, 1)
    return text, encoding


def _definition(script: Script, tree: ast.Module) -> ast.FunctionDef:
    """The statement that defines the script's design."""
    path, function = str(script.folder.script), inspect.unwrap(script.function)
    if not isinstance(function, types.FunctionType):
        message = "design is no function written with 'def', so that its defaults cannot be put back; change it by hand"
        raise ScriptError(path, message)
    if function.__code__.co_filename != path:
        message = f"design() is defined in another file, {function.__code__.co_filename}; its defaults stand there"
        raise ScriptError(path, message)
    for node in _own(tree):
        if isinstance(node, ast.FunctionDef) and node.name == function.__name__:
            first = min([node.lineno, *(decorator.lineno for decorator in node.decorator_list)])
            if first == function.__code__.co_firstlineno:
                return node
    message = "design is not defined by a 'def' of the script's own, outside functions and classes; change it by hand"
    raise ScriptError(path, message, function.__code__.co_firstlineno)


def _own(tree: ast.AST) -> Iterator[ast.AST]:
    """Everything in a script but what stands within its functions and classes."""
    for node in ast.iter_child_nodes(tree):
        yield node
        if not isinstance(node, _SCOPES):
            yield from _own(node)


def _defaults(function: ast.FunctionDef, text: str) -> Iterator[tuple[str, _Default]]:
    """Each parameter that has a default, with the place of it in the text."""
    starts = [0, *(found.end() for found in _LINE_END.finditer(text))]

    def place(line: int, column: int) -> int:
        # Columns are counted in bytes of UTF-8, whatever the script is written in.
        start = starts[line - 1]
        row = text[start : start + column].encode()[:column]
        return start + len(row.decode())

    for name, row, i in _slots(function):
        node = row[i]
        if node is not None:
            end = place(node.end_lineno or node.lineno, node.end_col_offset or 0)
            yield name, _Default(node=node, start=place(node.lineno, node.col_offset), end=end)


def _slots(function: ast.FunctionDef) -> Iterator[tuple[str, list[ast.expr] | list[ast.expr | None], int]]:
    """Each parameter that may have a default, with the list and the place in it where its default stands."""
    arguments = function.args
    by_place = [*arguments.posonlyargs, *arguments.args]
    for i, argument in enumerate(by_place[len(by_place) - len(arguments.defaults) :]):
        yield argument.arg, arguments.defaults, i
    for i, argument in enumerate(arguments.kwonlyargs):
        yield argument.arg, arguments.kw_defaults, i


def _tokens(text: str) -> Iterator[tokenize.TokenInfo]:
    # In brackets an expression may go over several lines, as it does where it comes from.
    yield from tokenize.generate_tokens(io.StringIO(f"({text}\n)").readline)


def _written(node: ast.expr, old: str, value: object, typed: str | None, encoding: str) -> str:
    """A value as Python, in the form of the default that it replaces where that can be."""
    if isinstance(value, str):
        quote = old[-1] if old[-1:] in ("'", '"') else '"'
        body = repr(value)
        plain = body if {"'", '"'} & set(value) else f"{quote}{body[1:-1]}{quote}"
        return plain if _has(encoding, plain) else ascii(value)
    if typed is not None and (inches := _INCHES.fullmatch(typed)) and isinstance(node, ast.Call):
        told = _call(node, old, inches["number"].strip(), encoding)
        if told is not None:
            return told
    if isinstance(value, float) and value.is_integer() and re.fullmatch(r"[-+]?\s*[0-9_]+", old):
        return str(int(value))
    return repr(value)


def _call(node: ast.Call, old: str, number: str, encoding: str) -> str | None:
    """The call of ``inch`` or ``length`` with another number of inches; None of any other call."""
    name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
    if name not in ("inch", "length") or len(node.args) != 1 or node.keywords or not _has(encoding, number):
        return None
    argument = node.args[0]
    if not isinstance(argument, ast.Constant) or "\n" in old or "\r" in old:
        return None
    if name == "inch" and not isinstance(argument.value, str) and _DECIMAL.fullmatch(number):
        written = repr(float(number.replace(" ", "")))
    else:
        quote = "'" if isinstance(argument.value, str) and "'" in old else '"'
        written = f"{quote}{number}{' in' if name == 'length' else ''}{quote}"
    utf8 = old.encode()
    first, last = argument.col_offset - node.col_offset, (argument.end_col_offset or 0) - node.col_offset
    return utf8[:first].decode() + written + utf8[last:].decode()


def _has(encoding: str, text: str) -> bool:
    """Whether a script's encoding has all letters of a text."""
    try:
        text.encode(encoding)
    except UnicodeEncodeError:
        return False
    return True


def _require_same(script: Script, tree: ast.Module, changed: str, names: set[str]) -> None:
    """That the new text means the same, but for the defaults that are replaced.

    Raises:
        ScriptError: It does not.
    """
    new = ast.parse(changed)
    for each in (tree, new):
        for name, row, i in _slots(_definition(script, each)):
            if name in names:
                row[i] = ast.Constant(None)
    if ast.dump(tree) != ast.dump(new):
        message = "its defaults cannot be replaced without changing something else; change them by hand"
        raise ScriptError(str(script.folder.script), message)
