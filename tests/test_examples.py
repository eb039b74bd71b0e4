"""Every example exports, and exports/ holds what it exports now."""

from __future__ import annotations

import json
import math
import re
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import ezdxf
import pypdfium2
import pytest
from draws import quick

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "examples"))

from export_all import designs, export_example, export_profiles  # noqa: E402

EXPORTS = ROOT / "exports"

CLOSE = 2e-4
"""Coordinates in files have four decimals; other processors may round the last one differently."""

ALWAYS = {"rigging_knife"}
"""What is exported in the quick suite too; the other examples and the profiles take as long again, each."""

every_folder = pytest.mark.parametrize("name", quick(["profiles", *(path.stem for path in designs())], *ALWAYS))


@pytest.fixture(scope="session")
def fresh(once_a_session: Callable[[str, Callable[[Path], None]], Path]) -> Callable[[str], Path]:
    """A folder of exports as it is made now."""

    def made(name: str) -> Path:
        def fill(folder: Path) -> None:
            if name == "profiles":
                export_profiles(folder)
            else:
                assert export_example(ROOT / "examples" / f"{name}.py", folder) == 0

        return once_a_session(name, fill)

    return made


def committed(name: str, suffix: str = "") -> list[str]:
    """Names of the files that lie in exports/, with an ending."""
    return sorted(path.name for path in (EXPORTS / name).iterdir() if path.name.endswith(suffix))


def test_every_example_lies_in_exports() -> None:
    assert {path.name for path in EXPORTS.iterdir()} == {"profiles", *(path.stem for path in designs())}


@every_folder
def test_the_same_files(fresh: Callable[[str], Path], name: str) -> None:
    assert sorted(path.name for path in fresh(name).iterdir()) == committed(name)


@every_folder
def test_the_same_numbers(fresh: Callable[[str], Path], name: str) -> None:
    for file in committed(name, ".json"):
        was, now = (json.loads((folder / file).read_text()) for folder in (EXPORTS / name, fresh(name)))
        # Checksums differ where a library that writes the file has changed.
        for content in (was, now):
            for row in content["files"]:
                del row["sha256"]
        assert same(was, now), file


def same(before: Any, other: Any) -> bool:
    a, b = list(leaves(before)), list(leaves(other))
    return len(a) == len(b) and all(
        math.isclose(x, y, rel_tol=1e-6, abs_tol=1e-6) if isinstance(x, float) and isinstance(y, float) else x == y
        for x, y in zip(a, b, strict=True)
    )


def leaves(content: Any) -> Iterator[Any]:
    if isinstance(content, dict):
        for key, value in content.items():
            yield key
            yield from leaves(value)
    elif isinstance(content, list):
        for value in content:
            yield from leaves(value)
    else:
        yield float(content) if isinstance(content, int) and not isinstance(content, bool) else content


NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


@every_folder
def test_the_same_drawing(fresh: Callable[[str], Path], name: str) -> None:
    for file in committed(name, ".svg"):
        was, now = ((folder / file).read_text(encoding="utf-8") for folder in (EXPORTS / name, fresh(name)))
        assert NUMBER.sub("#", was) == NUMBER.sub("#", now), file
        pairs = zip(NUMBER.findall(was), NUMBER.findall(now), strict=True)
        assert all(abs(float(a) - float(b)) <= CLOSE for a, b in pairs), file


@every_folder
def test_the_same_cut(fresh: Callable[[str], Path], name: str) -> None:
    for file in committed(name, ".dxf"):
        was, now = (ezdxf.readfile(folder / file).modelspace() for folder in (EXPORTS / name, fresh(name)))
        assert [e.dxftype() for e in was] == [e.dxftype() for e in now]
        for a, b in zip(was.query("LWPOLYLINE"), now.query("LWPOLYLINE"), strict=True):
            first, second = (list(p.get_points("xyb")) for p in (a, b))
            assert len(first) == len(second)
            assert all(math.dist(p, q) < 1e-6 for p, q in zip(first, second, strict=True)), file


@every_folder
def test_the_same_pages(fresh: Callable[[str], Path], name: str) -> None:
    for file in committed(name, ".pdf"):
        was, now = (pypdfium2.PdfDocument(folder / file) for folder in (EXPORTS / name, fresh(name)))
        assert len(was) == len(now)
        for i in range(len(was)):
            assert was[i].get_size() == pytest.approx(now[i].get_size())
            assert was[i].get_textpage().get_text_range() == now[i].get_textpage().get_text_range(), file
