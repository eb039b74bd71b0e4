"""The notebooks of the examples: they run from top to bottom, show what they say, are typed, and keep no outputs."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

EXAMPLES = Path(__file__).resolve().parent.parent / "examples"
NOTEBOOKS = sorted(EXAMPLES.glob("*.ipynb"))


def read(path: Path) -> dict[str, Any]:
    content: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return content


def code_of(notebook: dict[str, Any]) -> list[dict[str, Any]]:
    return [cell for cell in notebook["cells"] if cell["cell_type"] == "code"]


def test_there_is_one() -> None:
    assert NOTEBOOKS


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_outputs_are_cleared(path: Path) -> None:
    assert all(cell["outputs"] == [] and cell["execution_count"] is None for cell in code_of(read(path)))


@pytest.mark.long
@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_cells_are_typed(path: Path, tmp_path: Path) -> None:
    pytest.importorskip("mypy")
    script = tmp_path / f"{path.stem}.py"
    script.write_text("\n\n".join("".join(cell["source"]) for cell in code_of(read(path))), encoding="utf-8")
    root = EXAMPLES.parent
    told = subprocess.run(
        [sys.executable, "-m", "mypy", "--config-file", str(root / "pyproject.toml"), str(script)],
        cwd=root,
        env={"MYPYPATH": str(EXAMPLES), "PATH": ""},
        capture_output=True,
        text=True,
        timeout=600,
        check=False,
    )
    assert told.returncode == 0, told.stdout + told.stderr


@pytest.mark.long
@pytest.mark.filterwarnings("default")
def test_the_balance_notebook_shows_what_it_says() -> None:
    """Run by the notebook's own runner; outline, knife, template and sweep are pictures, findings a table."""
    nbformat, nbclient = pytest.importorskip("nbformat"), pytest.importorskip("nbclient")
    pytest.importorskip("ipykernel")
    notebook = nbformat.read(EXAMPLES / "balance_by_holes.ipynb", as_version=4)
    client = nbclient.NotebookClient(notebook, timeout=300, resources={"metadata": {"path": str(EXAMPLES)}})
    client.execute()
    shown = [set(output["data"]) for cell in code_of(notebook) for output in cell["outputs"] if "data" in output]
    assert sum("image/svg+xml" in kinds for kinds in shown) == 5
    assert sum("text/html" in kinds for kinds in shown) == 1
