"""Settings that every test shares, and the exports that many of them read."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from draws import FULL, LONG, QUICK
from filelock import FileLock
from hypothesis import settings

os.environ |= {"BLADEGEOM_SETTINGS": "none", "LC_ALL": "C.UTF-8"}
"""No settings and no country of the machine decide what a test prints."""

settings.register_profile("quick", max_examples=QUICK, derandomize=True, deadline=None)
settings.register_profile("full", max_examples=FULL, derandomize=True, deadline=None)
settings.register_profile("long", max_examples=LONG, deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "quick"))


@pytest.fixture(scope="session")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of the session, whatever process a test runs in."""
    base = tmp_path_factory.getbasetemp()
    # Each worker of pytest-xdist has its own folder in the session's.
    return base.parent if "PYTEST_XDIST_WORKER" in os.environ else base


@pytest.fixture(scope="session", autouse=True)
def _programs_share_their_bytecode(shared: Path) -> None:
    """Where no bytecode may be left in the checkout, programs that tests start would compile all of it, each anew."""
    if os.environ.pop("PYTHONDONTWRITEBYTECODE", ""):
        os.environ["PYTHONPYCACHEPREFIX"] = str(shared / "bytecode")


@pytest.fixture(scope="session")
def once_a_session(shared: Path) -> Callable[[str, Callable[[Path], None]], Path]:
    """A folder of a name that the first test to ask fills, and all others read."""

    def folder(name: str, fill: Callable[[Path], None]) -> Path:
        made, filling = shared / name, shared / f"{name}.filling"
        with FileLock(shared / f"{name}.lock"):
            if not made.exists():
                fill(filling)
                filling.rename(made)
        return made

    return folder
