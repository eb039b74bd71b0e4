"""The data of an SVG path as chains of cubics, in the path's own coordinates."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field

import numpy as np

from bladegeom.curves.curve import FloatArray

_NUMBER = r"[-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?"
_TOKEN = re.compile(rf"\s*(?:,\s*)?(?:([MmLlHhVvCcSsQqTtAaZz])|({_NUMBER}))")
_FLAG = re.compile(r"\s*(?:,\s*)?([01])")
_TAKES = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}
_MOST = 100_000
"""Commands in one path; own choice."""

_ARC_STEP = math.pi / 6
"""Longest part of an arc that one cubic draws: its radius is then true to 4e-7."""


@dataclass
class SubPath:
    """One stroke: its cubics, shape (k, 4, 2), and whether the file closes it."""

    pieces: FloatArray
    closed: bool


@dataclass
class _Pen:
    """Where the pen is while a path is read, and what it has drawn."""

    at: complex = 0j
    start: complex = 0j
    handle: complex = 0j
    last: str = ""
    now: list[tuple[complex, complex, complex, complex]] = field(default_factory=list)
    done: list[SubPath] = field(default_factory=list)

    def lift(self, *, closed: bool) -> None:
        """End the stroke."""
        if self.now:
            pieces = np.array([[(z.real, z.imag) for z in piece] for piece in self.now])
            self.done.append(SubPath(pieces, closed))
        self.now = []

    def line(self, to: complex) -> None:
        if to != self.at:
            step = (to - self.at) / 3
            self.now.append((self.at, self.at + step, to - step, to))
        self.at = to

    def cubic(self, a: complex, b: complex, to: complex) -> None:
        if not self.at == a == b == to:
            self.now.append((self.at, a, b, to))
        self.at, self.handle = to, b

    def quadratic(self, q: complex, to: complex) -> None:
        start = self.at
        self.cubic(start + 2 / 3 * (q - start), to + 2 / 3 * (q - to), to)
        self.handle = q

    def reflected(self, kinds: str) -> complex:
        """The handle mirrored at the pen, if the command before was of the same kind."""
        return 2 * self.at - self.handle if self.last in kinds else self.at


def subpaths(data: str) -> list[SubPath]:
    """All strokes of a path.

    Raises:
        ValueError: The data are no path; the message says where they end to be one.

    Source:
        SVG 2, chapter 9 (path data) and appendix B.2 (elliptical arcs).
    """
    pen, place, command = _Pen(), 0, ""
    count = 0
    while True:
        letter, place = _letter(data, place)
        if letter is None and not data[place:].strip(" \t\r\n,"):
            pen.lift(closed=False)
            return pen.done
        if letter is not None:
            command = letter
        elif command in "Zz":
            raise ValueError(f"a number stands where a command should, after {place} letters")
        if not command or (not count and command not in "Mm"):
            raise ValueError("it does not begin with M")
        values, place = _values(data, place, command)
        count += 1
        if count > _MOST:
            raise ValueError(f"it has more than {_MOST} commands")
        _draw(pen, command, values)
        # Further pairs after a move are lines.
        command = {"M": "L", "m": "l"}.get(command, command)


def _letter(data: str, place: int) -> tuple[str | None, int]:
    match = _TOKEN.match(data, place)
    return (match[1], match.end()) if match and match[1] else (None, place)


def _values(data: str, place: int, command: str) -> tuple[list[float], int]:
    out: list[float] = []
    for i in range(_TAKES[command.upper()]):
        # Flags of an arc may stand without a space behind them.
        flag = command in "Aa" and i in (3, 4)
        match = (_FLAG if flag else _TOKEN).match(data, place)
        text = match and match[1 if flag else 2]
        if not match or not text:
            raise ValueError(f"{command} wants {_TAKES[command.upper()]} numbers; after {place} letters stands none")
        out.append(float(text))
        place = match.end()
    if not all(abs(v) < 1e9 for v in out):
        raise ValueError(f"{command} has a number beyond all reason")
    return out, place


def _draw(pen: _Pen, command: str, v: list[float]) -> None:
    kind = command.upper()
    origin = pen.at if command.islower() else 0j
    p = [origin + complex(x, y) for x, y in zip(v[0::2], v[1::2], strict=False)] if kind not in "HVA" else []
    if kind == "M":
        pen.lift(closed=False)
        pen.at = pen.start = p[0]
    elif kind == "Z":
        pen.line(pen.start)
        pen.lift(closed=True)
    elif kind == "H":
        pen.line(complex(origin.real + v[0], pen.at.imag))
    elif kind == "V":
        pen.line(complex(pen.at.real, origin.imag + v[0]))
    elif kind == "A":
        _arc(pen, v, origin + complex(v[5], v[6]))
    else:
        _CURVES[kind](pen, p)
    pen.last = kind


_CURVES = {
    "L": lambda pen, p: pen.line(p[0]),
    "C": lambda pen, p: pen.cubic(*p),
    "S": lambda pen, p: pen.cubic(pen.reflected("CS"), *p),
    "Q": lambda pen, p: pen.quadratic(*p),
    "T": lambda pen, p: pen.quadratic(pen.reflected("QT"), p[0]),
}


def _arc(pen: _Pen, v: list[float], to: complex) -> None:
    rx, ry, turn = abs(v[0]), abs(v[1]), math.radians(v[2])
    if rx == 0 or ry == 0 or to == pen.at:
        pen.line(to)
        return
    # In the ellipse's own frame, scaled so that it is a unit circle.
    spin = complex(math.cos(turn), -math.sin(turn))
    half = (pen.at - to) / 2 * spin
    half = complex(half.real / rx, half.imag / ry)
    size = abs(half)
    if size > 1:
        rx, ry, half, size = rx * size, ry * size, half / size, 1.0
    away = math.sqrt(max(0.0, 1 / size**2 - 1)) * (1 if v[3] != v[4] else -1)
    centre = complex(half.imag, -half.real) * away
    a0, a1 = half - centre, -half - centre
    sweep = math.atan2((a1 * a0.conjugate()).imag, (a1 * a0.conjugate()).real)
    if v[4] and sweep < 0:
        sweep += 2 * math.pi
    elif not v[4] and sweep > 0:
        sweep -= 2 * math.pi
    middle = (pen.at + to) / 2
    n = max(1, math.ceil(abs(sweep) / _ARC_STEP - 1e-9))
    handle = 4 / 3 * math.tan(sweep / n / 4)

    def placed(z: complex) -> complex:
        z += centre
        return middle + complex(z.real * rx, z.imag * ry) * spin.conjugate()

    for i in range(n):
        a = a0 * complex(math.cos(sweep * i / n), math.sin(sweep * i / n))
        b = a0 * complex(math.cos(sweep * (i + 1) / n), math.sin(sweep * (i + 1) / n))
        pen.cubic(placed(a + 1j * handle * a), placed(b - 1j * handle * b), to if i == n - 1 else placed(b))
