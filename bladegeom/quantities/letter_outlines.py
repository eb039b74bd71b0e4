"""The outlines of letters, read from the face's own file, for what draws text itself.

Source:
    The tables loca and glyf: ISO/IEC 14496-22, the OpenType specification.
"""

from __future__ import annotations

import itertools
import struct
from collections.abc import Iterator
from functools import lru_cache

from bladegeom.quantities.face import Typeface, face, face_tables
from bladegeom.quantities.lettering import EM, one_line, text_width

Point = tuple[float, float]
Ring = tuple[Point, ...]

_STEPS = 4
"""Chords to each curve of a letter: finer than a picture shows."""

_ON, _SHORT_X, _SHORT_Y, _REPEAT, _SAME_X, _SAME_Y = 1, 2, 4, 8, 16, 32
"""Flags of a point; source: OpenType, glyf."""

_WORDS, _AS_PLACE, _SCALED, _MORE, _SCALED_BOTH, _TURNED = 1, 2, 8, 32, 64, 128
"""Flags of a part of a letter; source: OpenType, glyf."""


def text_outlines(text: str, height: float, *, bold: bool = False, steps: int = _STEPS) -> tuple[Ring, ...]:
    """Closed lines of a text, from its left end on the base line, x to the right and y up; holes run the other way.

    Args:
        text: In one line; letters that the face lacks leave their room empty.
        height: Of the label, any unit; as :func:`bladegeom.quantities.lettering.text_width` has it.
        bold: Of the heavier face.
        steps: Chords to each curve of a letter.

    >>> len(text_outlines("B", 1.0)), text_outlines(" ", 1.0)
    (3, ())
    """
    rings: list[Ring] = []
    scale, x = height * EM / 1000, 0.0
    for character in one_line(text):
        rings += [tuple((x + scale * a, scale * b) for a, b in ring) for ring in _letter(character, bold, steps)]
        x += text_width(character, height, bold=bold)
    return tuple(rings)


@lru_cache(maxsize=512)
def _letter(character: str, bold: bool, steps: int) -> tuple[Ring, ...]:  # noqa: FBT001
    """In thousandths of an em."""
    used = face(bold=bold)
    shape = used.shape(character)
    (em,) = struct.unpack_from(">H", used.data, face_tables(used.data)["head"] + 18)
    contours = [] if shape is None else _contours(used, shape)
    return tuple(tuple((1000 * x / em, 1000 * y / em) for x, y in _flattened(contour, steps)) for contour in contours)


_Contour = list[tuple[float, float, bool]]
"""Places, and whether the line goes through them."""


def _contours(used: Typeface, shape: int) -> list[_Contour]:
    data, tables = used.data, face_tables(used.data)
    (long,) = struct.unpack_from(">h", data, tables["head"] + 50)
    here, there = (
        struct.unpack_from(">2I", data, tables["loca"] + 4 * shape)
        if long
        else (2 * n for n in struct.unpack_from(">2H", data, tables["loca"] + 2 * shape))
    )
    if here == there:
        return []
    at = tables["glyf"] + here
    (count,) = struct.unpack_from(">h", data, at)
    return _simple(data, at + 10, count) if count >= 0 else list(_compound(used, at + 10))


def _simple(data: bytes, at: int, count: int) -> list[_Contour]:
    ends = struct.unpack_from(f">{count}H", data, at)
    at += 2 * count
    at += 2 + struct.unpack_from(">H", data, at)[0]
    flags: list[int] = []
    while len(flags) <= ends[-1]:
        flag = data[at]
        at += 1
        times = 1
        if flag & _REPEAT:
            times += data[at]
            at += 1
        flags += [flag] * times
    at, x = _coordinates(data, at, flags, _SHORT_X, _SAME_X)
    _, y = _coordinates(data, at, flags, _SHORT_Y, _SAME_Y)
    points = [(a, b, bool(flag & _ON)) for a, b, flag in zip(x, y, flags, strict=True)]
    return [points[start:end] for start, end in itertools.pairwise((0, *(end + 1 for end in ends)))]


def _coordinates(data: bytes, at: int, flags: list[int], short: int, same: int) -> tuple[int, list[float]]:
    """Where the list ends, and its numbers."""
    value, out = 0, []
    for flag in flags:
        if flag & short:
            value += data[at] if flag & same else -data[at]
            at += 1
        elif not flag & same:
            value += struct.unpack_from(">h", data, at)[0]
            at += 2
        out.append(float(value))
    return at, out


def _compound(used: Typeface, at: int) -> Iterator[_Contour]:
    """A letter that is put together of others, such as one with an accent; none of the face's is scaled or turned."""
    flags = _MORE
    while flags & _MORE:
        flags, shape = struct.unpack_from(">2H", used.data, at)
        form = ">2h" if flags & _WORDS else ">2b"
        dx, dy = struct.unpack_from(form, used.data, at + 4)
        at += 4 + struct.calcsize(form)
        at += 2 if flags & _SCALED else 4 if flags & _SCALED_BOTH else 8 if flags & _TURNED else 0
        for contour in _contours(used, shape):
            yield [(x + dx, y + dy, on) for x, y, on in contour]


def _flattened(contour: _Contour, steps: int) -> Iterator[Point]:
    """Chords along a line of straight pieces and quadratic curves; two handles in a row meet half way between."""
    through: _Contour = []
    for (x, y, on), (u, v, also) in zip(contour, contour[1:] + contour[:1], strict=True):
        through.append((x, y, on))
        if not on and not also:
            through.append(((x + u) / 2, (y + v) / 2, True))
    start = next(i for i, point in enumerate(through) if point[2])
    through = through[start:] + through[: start + 1]
    for (x, y, on), (u, v, also), (p, q, _) in zip(through, through[1:], [*through[2:], through[1]], strict=False):
        if on:
            yield x, y
        if on and not also:
            for i in range(1, steps):
                t = i / steps
                a, b, c = (1 - t) ** 2, 2 * t * (1 - t), t * t
                yield a * x + b * u + c * p, a * y + b * v + c * q
