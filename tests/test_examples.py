"""Every example exports, and exports/ holds what it exports now."""

from __future__ import annotations

import json
import math
import re
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import ezdxf
import pypdfium2
import pytest

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "examples"))

from export_all import designs, export_all  # noqa: E402

CLOSE = 2e-4
"""Coordinates in files have four decimals; other processors may round the last one differently."""


@pytest.fixture(scope="module")
def fresh(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("exports")
    assert export_all(folder) == 0
    return folder


def committed() -> list[Path]:
    return sorted(path.relative_to(ROOT / "exports") for path in (ROOT / "exports").rglob("*") if path.is_file())


def test_the_same_files(fresh: Path) -> None:
    assert sorted(path.relative_to(fresh) for path in fresh.rglob("*") if path.is_file()) == committed()
    assert {path.parts[0] for path in committed()} == {"profiles", *(path.stem for path in designs())}


@pytest.mark.parametrize("path", [p for p in committed() if p.suffix == ".json"], ids=str)
def test_the_same_numbers(fresh: Path, path: Path) -> None:
    one, other = (json.loads((folder / path).read_text()) for folder in (ROOT / "exports", fresh))
    # Checksums differ where a library that writes the file has changed.
    for content in (one, other):
        for file in content["files"]:
            del file["sha256"]
    assert same(one, other)


def same(one: Any, other: Any) -> bool:
    a, b = list(leaves(one)), list(leaves(other))
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


@pytest.mark.parametrize("path", [p for p in committed() if p.suffix == ".svg"], ids=str)
def test_the_same_drawing(fresh: Path, path: Path) -> None:
    one, other = ((folder / path).read_text(encoding="utf-8") for folder in (ROOT / "exports", fresh))
    assert NUMBER.sub("#", one) == NUMBER.sub("#", other)
    pairs = zip(NUMBER.findall(one), NUMBER.findall(other), strict=True)
    assert all(abs(float(a) - float(b)) <= CLOSE for a, b in pairs)


@pytest.mark.parametrize("path", [p for p in committed() if p.suffix == ".dxf"], ids=str)
def test_the_same_cut(fresh: Path, path: Path) -> None:
    one, other = (ezdxf.readfile(folder / path).modelspace() for folder in (ROOT / "exports", fresh))
    assert [e.dxftype() for e in one] == [e.dxftype() for e in other]
    for a, b in zip(one.query("LWPOLYLINE"), other.query("LWPOLYLINE"), strict=True):
        first, second = (list(p.get_points("xyb")) for p in (a, b))
        assert len(first) == len(second)
        assert all(math.dist(p, q) < 1e-6 for p, q in zip(first, second, strict=True))


@pytest.mark.parametrize("path", [p for p in committed() if p.suffix == ".pdf"], ids=str)
def test_the_same_pages(fresh: Path, path: Path) -> None:
    one, other = (pypdfium2.PdfDocument(folder / path) for folder in (ROOT / "exports", fresh))
    assert len(one) == len(other)
    for i in range(len(one)):
        assert one[i].get_size() == pytest.approx(other[i].get_size())
        assert one[i].get_textpage().get_text_range() == other[i].get_textpage().get_text_range()
