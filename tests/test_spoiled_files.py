"""Files that hands, disks and other programs have spoiled are read, or refused in a sentence; nothing else."""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path

import pytest

from bladegeom import (
    BladegeomError,
    Design,
    Landmarks,
    outline_from_dxf,
    outline_from_svg,
    outline_from_toml,
    points_from_csv,
    preflight,
    read_order,
    read_prices,
    read_settings,
)

ROOT = Path(__file__).resolve().parent.parent
EXAMPLES, EXPORTS = ROOT / "examples", ROOT / "exports"

MARKS = Landmarks(tip=(90.0, 50.0), heel=(60.0, 80.0), handle_front=(30.0, 20.0))

DRAWN = b"""<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">
<path d="M0 0L100 0L90 20C60 30 20 30 0 20Z"/><circle cx="20" cy="10" r="3"/><g transform="rotate(3)">
<rect width="5" height="3"/></g></svg>"""

OUTLINE = b"""[edge]\npoints = [[10.0, -30.0], [60.0, -28.0], [110.0, -10.0]]\n"""

SETTINGS = b"""[bladegeom]\npaper = "Letter"\nshop.process = "laser"\nhole_rules.rim = 4.0\n"""

PIECES = (
    *(b"NaN", b"1e999", b"-", b"&", b'"', b"[", b"]", b"=", b"\n", b"\0", b"\xff", b"0", b"9" * 400, b"true", b"#"),
    *(b"<g>", b"</g>", b"M", b"A", b"<use href='#a'/>", b"''", b",", b";", b"\x1b[2J", b"1979-13-45"),
)


READERS: dict[str, tuple[str, Callable[[Path], object], tuple[Path | bytes, ...]]] = {
    "SVG": ("svg", lambda path: outline_from_svg(path, MARKS), (DRAWN, *EXPORTS.glob("galley_petty/*template_A4.svg"))),
    "DXF": ("dxf", lambda path: outline_from_dxf(path, MARKS), tuple(EXPORTS.glob("rigging_knife/*.dxf"))),
    "DXF, preflight": ("dxf", lambda path: preflight(path, thickness=3.0), tuple(EXPORTS.glob("rigging_knife/*.dxf"))),
    "order": ("toml", read_order, (EXAMPLES / "galley_petty.order.toml",)),
    "prices": ("toml", read_prices, (EXAMPLES / "prices.toml",)),
    "settings": ("toml", read_settings, (SETTINGS,)),
    "outline": ("toml", outline_from_toml, (OUTLINE,)),
    "points": ("csv", points_from_csv, (b"x,y\n1.0,2.0\n3.0,4.0\n5.5,6.5\n7,8\n",)),
    "script": ("py", Design.from_script, (EXAMPLES / "galley_petty.py",)),
}  # fmt: skip


def spoiled(whole: bytes, rng: random.Random) -> bytes:
    """With one to four pieces of it lost, doubled or written over."""
    content = bytearray(whole)
    for _ in range(rng.randint(1, 4)):
        at, long = rng.randrange(len(content) + 1), rng.randint(0, 8)
        way = rng.random()
        if way < 0.6:
            content[at : at + long] = rng.choice(PIECES)
        elif way < 0.8:
            del content[at : at + rng.randint(1, 200)]
        else:
            content[at:at] = content[at : at + rng.randint(1, 200)]
    return bytes(content)


def read_all(name: str, count: int, folder: Path) -> None:
    ending, read, sources = READERS[name]
    rng = random.Random(name)
    path = folder / f"spoiled.{ending}"
    for i in range(count):
        source = rng.choice(sources)
        content = spoiled(source if isinstance(source, bytes) else source.read_bytes(), rng)
        path.write_bytes(content)
        said = ""
        try:
            read(path)
        except BladegeomError as error:
            said = str(error)
        except Exception as error:
            raise AssertionError(f"{name} {i}: {content[:200]!r}") from error
        assert "\n" not in said, (i, said)


@pytest.mark.parametrize("name", READERS)
def test_a_spoiled_file_is_read_or_refused(name: str, tmp_path: Path) -> None:
    read_all(name, 4, tmp_path)


@pytest.mark.long
@pytest.mark.parametrize("name", READERS)
def test_many_spoiled_files_are_read_or_refused(name: str, tmp_path: Path) -> None:
    read_all(name, 120 if name == "script" else 300, tmp_path)
