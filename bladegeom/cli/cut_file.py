"""The cut file of an export, and what was measured on it."""

from __future__ import annotations

from bladegeom.body.knife import Knife
from bladegeom.draw.cut import cut_drawing, left_for_the_drill
from bladegeom.export.dxf import dxf_of_drawing
from bladegeom.export.files import file_stem


def cut_file(knife: Knife) -> tuple[dict[str, bytes], list[str]]:
    """The file, and what was measured on it when read back."""
    text, measured = dxf_of_drawing(cut_drawing(knife))
    told = [
        f"cut file read back: {measured.loops} closed outline{'' if measured.loops == 1 else 's'} of "
        f"{measured.segments} lines and arcs, {measured.circles} circle{'' if measured.circles == 1 else 's'}, "
        f"{measured.width:.2f} x {measured.height:.2f} mm, {measured.deviation:.4f} mm off the design at most; "
        "mm, nominal size, no kerf"
    ]
    drilled = left_for_the_drill(knife)
    if drilled:
        told.append(f"not in the cut file, left for the drill: {', '.join(drilled)}")
    size = f"{measured.width:.1f}x{measured.height:.1f}mm"
    return {f"{file_stem(knife.name, knife.revision)}_cut_{size}.dxf": text}, told
