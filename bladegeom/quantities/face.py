"""The face of everything printed: which letters it has, and how wide each is, read from the face's own file.

Liberation Sans 2.1.5, Latin, Greek and Cyrillic, as wide as Helvetica letter for letter; its licence, the SIL Open Font
License, lies beside it in ``data/faces``. Only what the face does correctly without further shaping counts as had:
no letters written from right to left, and no accents that no letter brings with it.

Source:
    The tables head, hhea, hmtx and cmap: ISO/IEC 14496-22, the OpenType specification.
"""

from __future__ import annotations

import bisect
import struct
import unicodedata
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

_WINDOWS_UNICODE = (3, 1)
"""Platform and encoding of the table of letters that is read; source: OpenType, cmap."""


@dataclass(frozen=True, kw_only=True)
class Typeface:
    """One weight of the face.

    Args:
        name: As a PDF calls it.
        data: The whole file.
        advances: How far each shape moves on, thousandths of an em; the last serves for all that follow.
        ends: Last letter of each run of letters, rising.
        runs: Of each run its first letter, the shift from letter to shape, and where its list of shapes begins.
    """

    name: str
    data: bytes
    advances: tuple[float, ...]
    ends: tuple[int, ...]
    runs: tuple[tuple[int, int, int], ...]

    def width(self, character: str) -> float | None:
        """Of a letter, thousandths of an em; None if the face has none."""
        shape = self.shape(character)
        return None if shape is None else self.advances[min(shape, len(self.advances) - 1)]

    def shape(self, character: str) -> int | None:
        """Number of a letter's shape in the file; None if the face has none."""
        code = ord(character)
        run = bisect.bisect_left(self.ends, code)
        if run == len(self.ends) or not _stands_alone(character):
            return None
        first, shift, start = self.runs[run]
        if code < first:
            return None
        shape = _numbers(self.data, start + 2 * (code - first), 1)[0] if start else code
        return ((shape + shift) % 0x10000 if shape else 0) or None


def _stands_alone(character: str) -> bool:
    """Whether a letter is read from left to right and needs no other to be drawn."""
    return unicodedata.bidirectional(character) not in ("R", "AL") and unicodedata.category(character)[0] != "M"


@cache
def face(*, bold: bool = False) -> Typeface:
    """The upright face, or the bold one."""
    name = f"LiberationSans-{'Bold' if bold else 'Regular'}"
    data = (files("bladegeom.quantities") / "data" / "faces" / f"{name}.ttf").read_bytes()
    tables = face_tables(data)
    (em,), (many,) = _numbers(data, tables["head"] + 18, 1), _numbers(data, tables["hhea"] + 34, 1)
    advances = tuple(1000 * width / em for width in _numbers(data, tables["hmtx"], 2 * many)[::2])
    letters = _letters(data, tables["cmap"])
    (twice,) = _numbers(data, letters + 6, 1)
    count = twice // 2
    # The four lists of format 4 follow each other; two bytes of nothing lie after the first.
    ends, firsts, shifts, offsets = (
        _numbers(data, letters + 14 + i * twice + (2 if i else 0), count) for i in range(4)
    )
    at = letters + 16 + 3 * twice
    starts = (at + 2 * i + offset if offset else 0 for i, offset in enumerate(offsets))
    runs = tuple(zip(firsts, shifts, starts, strict=True))
    return Typeface(name=name, data=data, advances=advances, ends=ends, runs=runs)


def face_tables(data: bytes) -> dict[str, int]:
    """Where each table of the file begins."""
    (count,) = _numbers(data, 4, 1)
    rows = (data[12 + 16 * i : 28 + 16 * i] for i in range(count))
    return {row[:4].decode("ascii"): struct.unpack(">I", row[8:12])[0] for row in rows}


def _letters(data: bytes, cmap: int) -> int:
    """Where the table from letters to shapes begins."""
    (count,) = _numbers(data, cmap + 2, 1)
    rows = (struct.unpack_from(">HHI", data, cmap + 4 + 8 * i) for i in range(count))
    offsets: dict[tuple[int, int], int] = {(platform, encoding): offset for platform, encoding, offset in rows}
    return cmap + offsets[_WINDOWS_UNICODE]


def _numbers(data: bytes, start: int, count: int) -> tuple[int, ...]:
    """Unsigned numbers of two bytes each."""
    return struct.unpack_from(f">{count}H", data, start)
