"""Sizes of scales that hint at another unit than was meant, and swells that do not do what was meant."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.rule import Code, rule
from bladegeom.knife.scales import Scales
from bladegeom.quantities.units import show_length, show_mm

_OWN = "own choice: no handle is known that is made so"
_THIN, _THICK, _LINER, _SANDING, _OVERHANG = 1.5, 30.0, 5.0, 5.0, 10.0
"""Finished scale at least and at most; liner, sanding and overhang at most, mm; own choice."""

_UNREACHED = 0.05
"""A swell that stays less below the scale's thickness reaches it, mm; own choice: nobody sands finer."""


@rule(
    Code("glued-only", ("note",), "no fastener holds the scales"),
    Code("scale-size", ("warning",), "a size of the scales hints at another unit"),
    Code("swell-off", ("warning",), "the swell never comes to the declared thickness"),
)
def check_scale_sizes(knife: Knife) -> Iterator[Finding]:
    """All findings about the sizes of a knife's scales."""
    scales = knife.scales
    if scales is None:
        return
    yield from _sizes(scales)
    yield from _swell(knife, scales)
    if not knife.fasteners:
        yield Finding(
            code="glued-only",
            severity="note",
            part="scales",
            message="no fastener holds the scales, glue alone does; add_fasteners(knife, Pin(...), count=2) sets pins",
            source="the knife as declared",
        )


def _sizes(scales: Scales) -> Iterator[Finding]:
    if scales.thickness < _THIN:
        yield _size("thickness", scales.thickness, _THIN, f"did you mean inches? thickness=inch({scales.thickness:g})")
    most = {"thickness": _THICK, "sanding": _SANDING, "overhang": _OVERHANG}
    for name, limit in most.items():
        value = getattr(scales, name)
        if value > limit:
            yield _size(name, value, limit, _thousandths(name, value))
    for liner in scales.liners:
        if liner.thickness > _LINER:
            yield _size("liner thickness", liner.thickness, _LINER, _thousandths("thickness", liner.thickness))


def _thousandths(name: str, value: float) -> str:
    return f"did you mean inches? In thousandths it is {name}=inch({value / 1000:g})"


def _size(name: str, value: float, limit: float, way: str) -> Finding:
    side = "less" if value < limit else "more"
    return Finding(
        code="scale-size",
        severity="warning",
        part="scales",
        message=f"scales: {name} {show_length(value)} is {side} than {show_length(limit)}; lengths are in mm: {way}",
        measured=value,
        limit=limit,
        source=_OWN,
    )


def _swell(knife: Knife, scales: Scales) -> Iterator[Finding]:
    """A swell that never comes to the declared thickness where there is a handle."""
    if not scales.swell:
        return
    butt, _, front, _ = knife.handle_region.bounds
    stations = [x for x, _ in scales.swell if butt <= x <= front]
    x = np.sort(np.concatenate([np.linspace(butt, front, 201), stations]))
    thick = scales.flat(x)
    at = int(thick.argmax())
    most = float(thick[at])
    if stations and most >= scales.thickness - _UNREACHED:
        return
    # A station off the handle may be thicker than any place on it: then it forbids a lesser thickness.
    lower = max(thick for _, thick in scales.swell) <= most + 0.005
    say = f"say thickness={most:.2f}, or " if lower else ""
    off = (
        "" if stations else f"all stations of the swell lie off the handle, x {show_mm(butt)} to {show_mm(front)} mm; "
    )
    yield Finding(
        code="swell-off",
        severity="warning",
        part="scales",
        message=(
            f"scales: {off}the thickest place on the handle is {show_length(most)} at x {show_mm(x[at])} mm, not "
            f"{show_length(scales.thickness)}; {say}give a station (x, {scales.thickness:g}) "
            "on the handle"
        ),
        measured=most,
        limit=scales.thickness,
        source="the scales as declared",
        x=float(x[at]),
    )
