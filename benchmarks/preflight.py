"""How long preflight takes for files of many entities, in processor time: reading, checking, and what was found.

Run: .venv/bin/python benchmarks/preflight.py
"""

from __future__ import annotations

import io
import math
import time

import ezdxf

from bladegeom.cutfile.preflight import preflight_plan
from bladegeom.importers.cut_lines import read_cut_plan
from bladegeom.knife.rules import Process


def circles(count: int) -> bytes:
    """A plate with so many holes in a grid."""
    doc = ezdxf.new("R2000", units=4)
    space, side = doc.modelspace(), math.isqrt(count) + 1
    space.add_lwpolyline([(-5, -5), (9 * side, -5), (9 * side, 9 * side), (-5, 9 * side)], close=True)
    for k in range(count):
        space.add_circle((9 * (k % side), 9 * (k // side)), 3)
    return _data(doc)


def loose(count: int) -> bytes:
    """A wavy ring of so many loose lines."""
    doc = ezdxf.new("R2000", units=4)
    space = doc.modelspace()
    ring = []
    for k in range(count):
        a = 2 * math.pi * k / count
        r = 300 + 5 * math.sin(40 * a)
        ring.append((r * math.cos(a), r * math.sin(a)))
    for k, start in enumerate(ring):
        space.add_line(start, ring[(k + 1) % count])
    return _data(doc)


def twice(count: int) -> bytes:
    """Half as many circles, each drawn twice."""
    doc = ezdxf.new("R2000", units=4)
    for k in range(count // 2):
        for _ in range(2):
            doc.modelspace().add_circle((9 * (k % 100), 9 * (k // 100)), 3)
    return _data(doc)


def _data(doc: ezdxf.document.Drawing) -> bytes:
    stream = io.StringIO()
    doc.write(stream)
    return stream.getvalue().encode()


def main() -> None:
    """Print a line for each file."""
    for make in (circles, loose, twice):
        for count in (1_000, 10_000):
            data = make(count)
            begun = time.process_time()
            plan = read_cut_plan(data, make.__name__)
            read = time.process_time()
            preflight = preflight_plan(plan, Process(), 4.0)
            done = time.process_time()
            codes = sorted({finding.code for finding in preflight.findings})
            print(
                f"{make.__name__:<8} {count:>6} entities, {len(data) / 1e6:.1f} MB: read {read - begun:.2f} s, "
                f"checked {done - read:.2f} s, all {done - begun:.2f} s; {', '.join(codes)}"
            )


if __name__ == "__main__":
    main()
