"""Opening files that others wrote: other kinds, broken and hostile ones are told in trade words, in bounded room."""

from __future__ import annotations

import io
import logging
import os
import subprocess
import sys
from collections.abc import Iterator
from functools import cache

import ezdxf
import pytest
from draws import draws
from hypothesis import given
from hypothesis import strategies as st
from refusals import assert_tells
from spoiled import Part

from bladegeom.cutfile.preflight import preflight_plan
from bladegeom.importers.cut_lines import read_cut_plan
from bladegeom.importers.dxf_file import MOST_BYTES, open_dxf
from bladegeom.knife.rules import Process
from bladegeom.quantities.file_errors import UnreadableFileError


@cache
def sound(version: str = "R2000") -> bytes:
    return Part(version=version).data()


def written(doc: ezdxf.document.Drawing) -> bytes:
    stream = io.StringIO()
    doc.write(stream)
    return stream.getvalue().encode("cp1252", errors="surrogateescape")


def as_binary() -> bytes:
    stream = io.BytesIO()
    Part().doc.write(stream, fmt="bin")
    return stream.getvalue()


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"", "is empty"),
        (b"\r\n \n", "is empty"),
        (b"AC1015\x00\x00\x00", "is a DWG, no DXF; save it as DXF, release 2000, ASCII"),
        (b"%PDF-1.6\n", "is a PDF"),
        (b"<?xml version='1.0'?><svg/>", "is an SVG"),
        (b"PK\x03\x04....", "take the DXF out of it first"),
        (b"solid part\nfacet", "is an STL mesh"),
        (b"\x89PNG\r\n", "is a picture"),
        (b"hello\nworld\n", "it does not begin with a section"),
        ("0\nSECTION\n".encode("utf-16"), "is not plain text"),
    ],
)
def test_other_files_are_named(data: bytes, message: str) -> None:
    with pytest.raises(UnreadableFileError, match=message) as told:
        open_dxf(data, "part.dxf")
    assert str(told.value).startswith("part.dxf: ")


def test_a_file_that_breaks_off_is_told() -> None:
    with pytest.raises(UnreadableFileError, match="breaks off: its end mark is missing"):
        open_dxf(sound()[: len(sound()) // 2], "part.dxf")


@pytest.mark.parametrize("version", ["R12", "R2000", "R2007", "R2018"])
def test_releases_line_ends_marks_and_comments(version: str) -> None:
    data = sound(version)
    same = [data, data.replace(b"\n", b"\r\n"), b"\xef\xbb\xbf" + data, b"999\nmade by hand\n" + data, data + b"\x1a"]
    for variant in same:
        assert len(open_dxf(variant, "part.dxf").modelspace()) == 5


def test_binary_files_are_read() -> None:
    data = as_binary()
    assert data.startswith(b"AutoCAD Binary DXF")
    assert len(open_dxf(data, "part.dxf").modelspace()) == 5
    with pytest.raises(UnreadableFileError, match=r"is damaged|breaks off"):
        open_dxf(data[: len(data) // 2], "part.dxf")


def test_accents_in_the_encoding_of_the_header() -> None:
    doc = ezdxf.new("R2000", units=4)
    doc.layers.add("gelöscht")
    assert "gelöscht" in open_dxf(written(doc), "part.dxf").layers


def test_a_thing_of_an_unknown_kind_is_told_and_the_rest_is_read() -> None:
    """As programs write that add kinds of their own; the layer of such a thing is in none of the library's fields."""
    head, mark, tail = sound().rpartition(b"ENDSEC\n  0\nSECTION\n  2\nOBJECTS")
    own = b"ACME_PART\n  5\nFFF1\n100\nAcDbEntity\n  8\nPLUGIN\n100\nAcmePart\n 10\n1.0\n 20\n2.0\n  0\n"
    plan = read_cut_plan(head + own + mark + tail, "part.dxf")
    assert len(plan.chains) == 5
    assert [(stray.kind, stray.what, stray.layer) for stray in plan.strays] == [("other", "ACME_PART", "PLUGIN")]


@pytest.mark.parametrize("number", ["nan", "inf", "-inf", "1e400", "1e12", "twelve", ""])
def test_numbers_that_are_none(number: str) -> None:
    # 40 is the radius of a circle. Source: DXF reference, CIRCLE.
    head, mark, tail = sound().partition(b"CIRCLE\n")
    before, code, rest = tail.partition(b"\n 40\n")
    bad = head + mark + before + code + number.encode() + b"\n" + rest.partition(b"\n")[2]
    with pytest.raises(UnreadableFileError, match=r"where a number must stand|which no part can have"):
        open_dxf(bad, "part.dxf")


def blocks(depth: int, width: int) -> ezdxf.document.Drawing:
    """Blocks within blocks: each holds the next one so many times."""
    doc = ezdxf.new("R2000", units=4)
    doc.blocks.new("B0").add_line((0, 0), (1, 1))
    for k in range(1, depth):
        block = doc.blocks.new(f"B{k}")
        for _ in range(width):
            block.add_blockref(f"B{k - 1}", (0, 0))
    doc.modelspace().add_blockref(f"B{depth - 1}", (0, 0))
    return doc


def in_itself() -> ezdxf.document.Drawing:
    doc = ezdxf.new("R2000", units=4)
    doc.blocks.new("A").add_blockref("B", (0, 0))
    doc.blocks.new("B").add_blockref("a", (0, 0))
    doc.modelspace().add_blockref("A", (0, 0))
    return doc


def array() -> ezdxf.document.Drawing:
    doc = blocks(1, 1)
    doc.modelspace().add_blockref("B0", (0, 0), dxfattribs={"row_count": 30000, "column_count": 30000})
    return doc


@pytest.mark.parametrize(
    ("doc", "message"),
    [
        (blocks(40, 10), "blocks that stand for more than 100000 things"),
        (array(), "blocks that stand for more than 100000 things"),
        (in_itself(), "has a block .* that holds itself"),
        (blocks(100, 1), "has a block .* that holds itself"),
    ],
)
def test_blocks_that_multiply_are_refused(doc: ezdxf.document.Drawing, message: str) -> None:
    with pytest.raises(UnreadableFileError, match=message):
        open_dxf(written(doc), "part.dxf")


HOSTILE = """
import resource, sys
resource.setrlimit(resource.RLIMIT_AS, (3 << 30, 3 << 30))
resource.setrlimit(resource.RLIMIT_CPU, (60, 60))
from bladegeom.quantities.file_errors import UnreadableFileError
from bladegeom.importers.dxf_file import open_dxf
head, tail = b"0\\nSECTION\\n2\\nENTITIES\\n", b"0\\nENDSEC\\n0\\nEOF\\n"
bodies = {
    "points": b"0\\nLWPOLYLINE\\n100\\nAcDbEntity\\n8\\n0\\n100\\nAcDbPolyline\\n" + b"10\\n1\\n20\\n2\\n" * 400_000,
    "lines": b"0\\nLINE\\n8\\n0\\n10\\n0\\n20\\n0\\n11\\n1\\n21\\n1\\n" * 60_000,
    "tags": b"1\\nx\\n" * 1_100_000,
    "bytes": b"x" * 30_000_000,
}
for name, body in bodies.items():
    try:
        open_dxf(head + body + tail, name)
    except UnreadableFileError as error:
        print(error)
"""


@pytest.mark.skipif(sys.platform != "linux", reason="limits on memory are set as Linux does")
@pytest.mark.long
def test_giant_files_end_soon_in_bounded_memory() -> None:
    done = subprocess.run(
        [sys.executable, "-c", HOSTILE],
        env={**os.environ, "OPENBLAS_NUM_THREADS": "1"},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    told = done.stdout.splitlines()
    assert [line.partition(":")[0] for line in told] == ["points", "lines", "tags", "bytes"]
    assert all("more than" in line for line in told)


def test_the_limit_on_bytes_is_told() -> None:
    with pytest.raises(UnreadableFileError) as caught:
        open_dxf(b" " * (MOST_BYTES + 1), "part.dxf")
    assert_tells(str(caught.value), "20 MB")


@pytest.fixture(autouse=True, scope="module")
def _unlogged() -> Iterator[None]:
    """What the reader's library logs of broken files may hold halves of letters, which no worker of pytest can send."""
    log = logging.getLogger("ezdxf")
    level = log.level
    log.setLevel(logging.CRITICAL)
    yield
    log.setLevel(level)


def survive(data: bytes) -> None:
    """Read and check a file that may be anything: it gives a result or one error of ours."""
    told = ""
    try:
        preflight_plan(read_cut_plan(data, "part.dxf"), Process(), 4.0)
    except UnreadableFileError as error:
        told = str(error)
    assert "\n" not in told


edits = st.lists(
    st.tuples(st.floats(0.0, 1.0), st.sampled_from(["flip", "drop", "copy", "nan", "big"]), st.integers(0, 255)),
    min_size=1,
    max_size=8,
)


@given(version=st.sampled_from(["R12", "R2000", "binary"]), changes=edits, tail=st.booleans())
@draws(100)
def test_any_change_of_a_sound_file_gives_a_result_or_one_error(
    version: str, changes: list[tuple[float, str, int]], *, tail: bool
) -> None:
    data = bytearray(as_binary() if version == "binary" else sound(version))
    # The entities stand near the end: half of the examples change only there.
    low = len(data) // 2 if tail else 0
    for share, kind, value in changes:
        at = low + int(share * (len(data) - low - 1))
        line = data.find(b"\n", at) + 1
        if kind == "flip":
            data[at] = value
        elif kind == "drop":
            del data[at : at + value]
        elif kind == "copy":
            data[at:at] = data[at : at + value]
        else:
            data[line : max(line, data.find(b"\n", line))] = b"nan" if kind == "nan" else b"123456789"
    survive(bytes(data))


@given(st.floats(0.0, 1.0))
@draws(10)
def test_a_file_cut_off_anywhere_is_refused(share: float) -> None:
    with pytest.raises(UnreadableFileError):
        open_dxf(sound()[: int(share * (len(sound()) - 10))], "part.dxf")
