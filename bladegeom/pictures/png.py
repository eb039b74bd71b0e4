"""Pixels as a PNG file: the same pixels give the same bytes.

Source: PNG, third edition (W3C): chunks, filter 2 ("up"), pHYs, sRGB and iTXt.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Mapping

import numpy as np
import numpy.typing as npt

from bladegeom.quantities.lettering import one_line

_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_LEVEL = 6
"""Of compression; more takes twice the time for a hundredth of the size."""

Pixels = npt.NDArray[np.uint8]


def png_of(pixels: Pixels, pixels_per_metre: int, texts: Mapping[str, str]) -> bytes:
    """A file.

    Args:
        pixels: Rows from the top, shape (rows, columns, 3).
        pixels_per_metre: So that it is shown and printed at true size.
        texts: Remarks by their keywords, such as ``"Title"``.
    """
    rows, columns, _ = pixels.shape
    flat = pixels.reshape(rows, -1)
    filtered = np.full((rows, 1 + flat.shape[1]), 2, dtype=np.uint8)
    filtered[0, 1:] = flat[0]
    np.subtract(flat[1:], flat[:-1], out=filtered[1:, 1:])
    return b"".join(
        [
            _SIGNATURE,
            _chunk(b"IHDR", struct.pack(">IIBBBBB", columns, rows, 8, 2, 0, 0, 0)),
            _chunk(b"sRGB", b"\0"),
            _chunk(b"pHYs", struct.pack(">IIB", pixels_per_metre, pixels_per_metre, 1)),
            *(
                _chunk(b"iTXt", key.encode("latin-1") + b"\0\0\0\0\0" + one_line(text).encode())
                for key, text in texts.items()
            ),
            _chunk(b"IDAT", zlib.compress(filtered.tobytes(), _LEVEL)),
            _chunk(b"IEND", b""),
        ]
    )


def _chunk(name: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
