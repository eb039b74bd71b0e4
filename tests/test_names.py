"""Names: a public one stands for one thing in the whole package, and a variable says what it is."""

from __future__ import annotations

import ast
import doctest
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import pytest
from test_layers import MODULES, ROOT

EVERYWHERE = sorted(
    path
    for folder in ("bladegeom", "profiles", "tests", "examples", "benchmarks", "docs")
    for path in (ROOT / folder).rglob("*.py")
)

SAYS_NOTHING = "one"

LONGEST_MODULE = 300
"""Lines of a module; own choice: what is longer answers two questions."""


def name_of(path: Path) -> str:
    return str(path.relative_to(ROOT))


def public_names(path: Path) -> Iterator[str]:
    """Functions and classes at the top of a module."""
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            yield node.name


def targets(node: ast.AST) -> list[ast.expr]:
    """What a loop, a comprehension or a context binds."""
    if isinstance(node, ast.For | ast.AsyncFor | ast.comprehension):
        return [node.target]
    if isinstance(node, ast.withitem) and node.optional_vars is not None:
        return [node.optional_vars]
    return []


def variables(tree: ast.AST) -> Iterator[tuple[str, int]]:
    """Variables of loops, comprehensions, contexts and patterns, and arguments, each with its line."""
    for node in ast.walk(tree):
        if isinstance(node, ast.arg):
            yield node.arg, node.lineno
        elif isinstance(node, ast.MatchAs | ast.MatchStar) and node.name is not None:
            yield node.name, node.lineno
        for part in (part for target in targets(node) for part in ast.walk(target)):
            if isinstance(part, ast.Name) and isinstance(part.ctx, ast.Store):
                yield part.id, part.lineno


def examples(tree: ast.AST) -> Iterator[ast.AST]:
    """Statements of the examples in docstrings."""
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.ClassDef | ast.Module):
            for example in doctest.DocTestParser().get_examples(ast.get_docstring(node) or ""):
                yield ast.parse(example.source)


def test_no_public_name_stands_for_two_things() -> None:
    homes = defaultdict(list)
    for path in MODULES:
        for name in public_names(path):
            homes[name].append(name_of(path))
    assert {name: paths for name, paths in homes.items() if len(paths) > 1} == {}


def test_no_variable_is_called_one() -> None:
    found = []
    for path in EVERYWHERE:
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for code in (tree, *examples(tree)):
            found += [f"{name_of(path)}:{line}" for name, line in variables(code) if name == SAYS_NOTHING]
    assert found == []


@pytest.mark.parametrize(
    "code",
    [
        "for one in x: ...",
        "for i, (one, other) in x: ...",
        "[one for one in x]",
        "{k: 1 for k, one in x}",
        "lambda one: 1",
        "def f(*, one): ...",
        "with x as one: ...",
        "match x:\n    case int() as one: ...",
    ],
)
def test_such_a_variable_is_seen(code: str) -> None:
    assert [name for name, _ in variables(ast.parse(code)) if name == SAYS_NOTHING] == [SAYS_NOTHING]


def test_a_word_in_a_text_or_a_function_is_no_variable() -> None:
    assert list(variables(ast.parse('"one"\ndef one(): ...\none()\nx.one\n'))) == []


def test_no_module_is_too_long() -> None:
    lines = {name_of(path): len(path.read_text(encoding="utf-8").splitlines()) for path in MODULES}
    assert {name: count for name, count in lines.items() if count > LONGEST_MODULE} == {}
