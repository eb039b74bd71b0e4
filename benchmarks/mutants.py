"""Which of the mistakes in tests/mutants/mutants.toml the quick tests notice; each is made in a copy of the checkout.

    .venv/bin/python benchmarks/mutants.py [NUMBER ...]

Tests of the changed module come first, then all; the first that fails ends it. Without numbers, every mistake is made.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
MUTANTS = ROOT / "tests" / "mutants" / "mutants.toml"
SOURCES = ("bladegeom", "profiles")
FOLDERS = (*SOURCES, "tests", "examples", "exports", "benchmarks", "docs")
COPIED = (*FOLDERS, "conftest.py", "pyproject.toml", "mkdocs.yml", "README.md", "DEVELOPERS.md")


@dataclass(frozen=True)
class Mutant:
    """A text of the package, and what a slip makes of it.

    Args:
        claim: What holds no more.
        old: Text that stands once in the package.
        new: What takes its place.
        path: The module, from the root of the checkout.
    """

    claim: str
    old: str
    new: str
    path: Path


def mutants() -> Iterator[Mutant]:
    """All of them, each with the one module that has its text."""
    texts = {
        path.relative_to(ROOT): path.read_text(encoding="utf-8")
        for folder in SOURCES
        for path in sorted((ROOT / folder).rglob("*.py"))
    }
    for row in tomllib.loads(MUTANTS.read_text(encoding="utf-8"))["mutant"]:
        found = [path for path, text in texts.items() for _ in range(text.count(row["old"]))]
        if len(found) != 1:
            raise SystemExit(f"{row['old']!r} stands {len(found)} times in the package: {', '.join(map(str, found))}")
        yield Mutant(**row, path=found[0])


def near(module: Path) -> list[str]:
    """Test files that are named after a module, then those that import it."""
    name, dotted = f"test_{module.stem}.py", ".".join(module.with_suffix("").parts)
    tests = sorted((ROOT / "tests").glob("test_*.py"))
    named = [path for path in tests if path.name == name]
    importing = [path for path in tests if path not in named and dotted in path.read_text(encoding="utf-8")]
    return [str(path.relative_to(ROOT)) for path in (*named, *importing)]


def first_failure(folder: Path, chosen: list[str], *options: str) -> str:
    """The first test that fails in a copy of the checkout; empty where all pass."""
    command = [sys.executable, "-m", "pytest", "-q", "-x", "--no-header", "-p", "no:cacheprovider", *options, *chosen]
    # The copy comes before the installed package, in the processes that tests start as well.
    environment = os.environ | {"PYTHONPATH": str(folder), "PYTHONDONTWRITEBYTECODE": "1"}
    done = subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True, check=False)
    if done.returncode == 0:
        return ""
    told = [line for line in done.stdout.splitlines() if line.startswith(("FAILED", "ERROR"))]
    return told[0] if told else f"pytest ended with {done.returncode}: {done.stderr[-200:]}"


def killer(mutant: Mutant, folder: Path) -> str:
    """The test that notices a mistake, or nothing."""
    module = folder / mutant.path
    sound = module.read_text(encoding="utf-8")
    module.write_text(sound.replace(mutant.old, mutant.new), encoding="utf-8")
    try:
        chosen = near(mutant.path)
        return (chosen and first_failure(folder, chosen)) or first_failure(folder, [], "-n", "auto")
    finally:
        module.write_text(sound, encoding="utf-8")


def main() -> int:
    """Make the mistakes and print what each one's fate is."""
    wanted = {int(text) for text in sys.argv[1:]}
    survived = done = 0
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        for name in COPIED:
            copy = shutil.copytree if (ROOT / name).is_dir() else shutil.copy
            copy(ROOT / name, folder / name)
        for number, mutant in enumerate(mutants(), start=1):
            if wanted and number not in wanted:
                continue
            test = killer(mutant, folder)
            done, survived = done + 1, survived + (not test)
            print(f"{number:3} {'noticed ' if test else 'SURVIVED'} {mutant.path}: {mutant.claim}  {test}", flush=True)
    print(f"{done - survived} of {done} noticed")
    return int(survived > 0)


if __name__ == "__main__":
    raise SystemExit(main())
