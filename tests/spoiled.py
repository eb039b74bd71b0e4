"""A plain part as a DXF, and ways to spoil it, each with the code of the finding that must come and its place."""

from __future__ import annotations

import io
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import ezdxf
from ezdxf.document import Drawing as Document
from hypothesis import strategies as st

Place = tuple[float, float]


@dataclass
class Part:
    """A bar with a rounded belly, three round holes and a slot; nothing is wrong with it.

    Args:
        length: Of the bar, mm.
        height: Of the bar, mm.
        x: Of its lower left corner, mm.
        y: The same upwards.
        radius: Of the holes, mm.
        version: Release of the DXF.
    """

    length: float = 200.0
    height: float = 30.0
    x: float = 0.0
    y: float = 0.0
    radius: float = 3.0
    version: str = "R2000"
    doc: Document = field(init=False)

    def __post_init__(self) -> None:
        self.doc = ezdxf.new(self.version, units=4)
        x, y, w, h = self.x, self.y, self.length, self.height
        # Lower side a flat arc that bulges downwards, upper side straight, right end a half circle.
        self.outline = [(x, y, 0.05), (x + w, y, 1.0), (x + w, y + h, 0.0), (x, y + h, 0.0)]
        self.centres = [(x + w * share, y + h / 2) for share in (0.2, 0.35, 0.5)]
        space = self.doc.modelspace()
        self.draw_outline()
        for centre in self.centres:
            space.add_circle(centre, self.radius, dxfattribs={"layer": "0"})
        a, b, c, r = x + 0.65 * w, x + 0.75 * w, y + h / 2, self.radius
        self.draw([(a, c - r, 0), (b, c - r, 1), (b, c + r, 0), (a, c + r, 1)])

    def draw(self, rows: Sequence[tuple[float, float, float]], *, close: bool = True) -> None:
        """A polyline as the release knows it; source: DXF reference, LWPOLYLINE came with release 14."""
        space = self.doc.modelspace()
        add = space.add_polyline2d if self.version == "R12" else space.add_lwpolyline
        add(rows, format="xyb", close=close)

    def draw_outline(self, *, close: bool = True) -> None:
        self.draw(self.outline, close=close)

    def drop_outline(self) -> None:
        self.doc.modelspace().delete_entity(self.doc.modelspace()[0])

    @property
    def low(self) -> float:
        """How far the belly hangs below the corner, mm: chord times bulge over two."""
        return 0.05 * self.length / 2

    def data(self) -> bytes:
        """The file."""
        stream = io.StringIO()
        self.doc.write(stream)
        return stream.getvalue().encode("cp1252", errors="surrogateescape")


parts = st.builds(
    Part,
    length=st.floats(150.0, 350.0),
    height=st.floats(24.0, 60.0),
    x=st.floats(-50.0, 50.0),
    y=st.floats(-50.0, 50.0),
    radius=st.floats(1.5, 5.0),
    version=st.sampled_from(["R12", "R2000", "R2010", "R2018"]),
)


def _gap(size: float) -> Callable[[Part], Place]:
    def spoil(part: Part) -> Place:
        x, y = part.x, part.y + part.height
        part.outline.append((part.x, part.y + size, 0.0))
        part.drop_outline()
        part.draw_outline(close=False)
        return x, part.y + size / 2 if y else 0.0

    return spoil


def loosen(part: Part) -> None:
    """The outline as loose lines and arcs, every second one the other way round."""
    space = part.doc.modelspace()
    pieces = list(part.outline)
    part.drop_outline()
    for k, (x, y, bulge) in enumerate(pieces):
        u, v, _ = pieces[(k + 1) % len(pieces)]
        if abs(bulge) < 1e-9:
            space.add_line(*(((x, y), (u, v)) if k % 2 else ((u, v), (x, y))))
        else:
            centre, start, end, r = ezdxf.math.bulge_to_arc((x, y), (u, v), bulge)
            space.add_arc(centre, r, math.degrees(start), math.degrees(end))


def _loose(part: Part) -> Place:
    loosen(part)
    return part.x, part.y


def _loose_gap(part: Part) -> Place:
    loosen(part)
    line = next(e for e in part.doc.modelspace() if e.dxftype() == "LINE")
    end = line.dxf.end
    line.dxf.end = end + (line.dxf.start - end).normalize(0.02)
    return end.x, end.y


def _duplicate(part: Part) -> Place:
    part.draw_outline()
    return part.x, part.y + part.height / 2


def _reversed_duplicate(part: Part) -> Place:
    part.outline = [(x, y, -part.outline[k - 1][2]) for k, (x, y, _) in reversed(list(enumerate(part.outline)))]
    part.draw_outline()
    return part.x, part.y + part.height / 2


def _same_circle(part: Part) -> Place:
    part.doc.modelspace().add_circle(part.centres[1], part.radius)
    return part.centres[1]


def _overlap(part: Part) -> Place:
    x, y = part.x + 0.2 * part.length, part.y + part.height
    part.doc.modelspace().add_line((x, y), (x + 20, y))
    return x + 10, y


def _co_circular(part: Part) -> Place:
    x, y = part.x + part.length, part.y + part.height / 2
    part.doc.modelspace().add_arc((x, y), part.height / 2, -30, 30)
    return x + part.height / 2, y


def _crossing(part: Part) -> Place:
    x, y = part.x + 0.9 * part.length, part.y + part.height
    part.doc.modelspace().add_circle((x, y), 3.0)
    return x + 3.0, y


def _self_crossing(part: Part) -> Place:
    # The left end becomes a bow: its two corners change places.
    x, y = part.x, part.y
    part.outline[0], part.outline[3] = (x, y + part.height, 0.0), (x, y, 0.0)
    part.outline[1] = (x + part.length, y, 1.0)
    part.drop_outline()
    part.draw_outline()
    return x + part.length / 2, y + part.height / 2


def _three_way(part: Part) -> Place:
    x, y = part.x + 0.3 * part.length, part.y + part.height
    part.doc.modelspace().add_line((x, y), (x, y + 10))
    return x, y


def _web(part: Part) -> Place:
    x, y = part.centres[0]
    part.doc.modelspace().add_circle((x, y + part.radius + 0.3 + 1.2), 1.2)
    return x, y + part.radius + 0.15


def _rim(part: Part) -> Place:
    x, y = part.x + 0.88 * part.length, part.y + part.height - 1.5 - 0.3
    part.doc.modelspace().add_circle((x, y), 1.5)
    return x, part.y + part.height - 0.15


def _fin(part: Part) -> Place:
    """A strip 0.3 mm wide that stands on the upper side."""
    x, y = part.x + 0.4 * part.length, part.y + part.height
    part.outline[3:3] = [(x + 0.3, y, 0), (x + 0.3, y + 4, 0), (x, y + 4, 0), (x, y, 0)]
    part.drop_outline()
    part.draw_outline()
    return x + 0.15, y + 2


def _neck(part: Part) -> Place:
    """Two notches that leave 0.3 mm between them."""
    x, y, h = part.x + 0.9 * part.length, part.y, part.height
    part.outline = [
        (part.x, y, 0),
        (x - 5, y, 0),
        (x, y + h / 2 - 0.15, 0),
        (x + 5, y, 0),
        (part.x + part.length, y, 1.0),
        (part.x + part.length, y + h, 0),
        (x + 5, y + h, 0),
        (x, y + h / 2 + 0.15, 0),
        (x - 5, y + h, 0),
        (part.x, y + h, 0),
    ]
    part.drop_outline()
    part.draw_outline()
    return x, y + h / 2


def _notch(part: Part) -> Place:
    """A cut 0.3 mm wide, open above."""
    x, y = part.x + 0.9 * part.length, part.y + part.height
    part.outline[3:3] = [(x + 0.3, y, 0), (x + 0.3, y - 4, 0), (x, y - 4, 0), (x, y, 0)]
    part.drop_outline()
    part.draw_outline()
    return x + 0.15, y - 2


def _small_hole(part: Part) -> Place:
    x, y = part.x + 0.9 * part.length, part.y + part.height / 2
    part.doc.modelspace().add_circle((x, y), 0.5)
    return x, y


def _sharp(part: Part) -> Place:
    x, y = part.x + 0.4 * part.length, part.y + part.height
    part.outline[3:3] = [(x + 6, y, 0), (x + 3, y - 3, 0), (x, y, 0)]
    part.drop_outline()
    part.draw_outline()
    return x + 3, y - 3


def _small_radius(part: Part) -> Place:
    x, y = part.x + 0.4 * part.length, part.y + part.height
    # A notch 0.6 mm in radius whose mouth widens.
    part.outline[3:3] = [(x + 3, y, 0), (x + 0.6, y - 3, -1.0), (x - 0.6, y - 3, 0), (x - 3, y, 0)]
    part.drop_outline()
    part.draw_outline()
    return x, y - 3.6


def _spline(part: Part) -> Place:
    x, y = part.centres[0][0], part.y + part.height / 2
    part.doc.modelspace().add_spline([(x, y), (x + 1, y + 1), (x + 2, y)])
    return x, y


def _ellipse(part: Part) -> Place:
    x, y = part.x + 0.9 * part.length, part.y + part.height / 2
    part.doc.modelspace().add_ellipse((x, y), major_axis=(4, 0), ratio=0.5)
    return x + 4, y


def _text(part: Part) -> Place:
    x, y = part.x + 5, part.y + 5
    part.doc.modelspace().add_text("steel", height=3).set_placement((x, y))
    return x, y


def _point(part: Part) -> Place:
    part.doc.modelspace().add_point((part.x + 4, part.y + 7))
    return part.x + 4, part.y + 7


def _block(part: Part) -> Place:
    part.doc.blocks.new("A").add_line((0, 0), (1, 1))
    part.doc.modelspace().add_blockref("A", (part.x + 3, part.y + 6))
    return part.x + 3, part.y + 6


def _solid(part: Part) -> Place:
    x, y = part.x + 3, part.y + 6
    part.doc.modelspace().add_solid([(x, y), (x + 1, y), (x, y + 1)])
    return x, y


def _lifted(part: Part) -> Place:
    x, y = part.x + 3, part.y + 6
    part.doc.modelspace().add_line((x, y, 5), (x + 5, y, 5))
    return x, y


def _outside(part: Part) -> Place:
    x, y = part.x + part.length / 2, part.y + part.height + 9
    part.doc.modelspace().add_circle((x, y), 2.5)
    return x, y


def _second(part: Part) -> Place:
    y = part.y - part.height - 20
    part.outline = [(x, v - part.y + y, bulge) for x, v, bulge in part.outline]
    part.draw_outline()
    return part.x, y


def _nested(part: Part) -> Place:
    part.doc.modelspace().add_circle(part.centres[2], part.radius / 3)
    return part.centres[2]


def _open(part: Part) -> Place:
    part.drop_outline()
    part.draw_outline(close=False)
    return part.x, part.y


def _stray_line(part: Part) -> Place:
    x, y = part.x + 0.85 * part.length, part.y + part.height / 2
    part.doc.modelspace().add_line((x, y), (x + 9, y + 1))
    return x, y


def _tiny(part: Part) -> Place:
    x, y = part.x + 0.4 * part.length, part.y + part.height
    part.outline[3:3] = [(x + 0.05, y, 0), (x, y, 0)]
    part.drop_outline()
    part.draw_outline()
    return x, y


def _repeated_vertex(part: Part) -> Place:
    part.outline.append((part.x, part.y, 0.0))
    part.drop_outline()
    part.draw_outline()
    return part.x, part.y


def _chords(part: Part) -> Place:
    x, y, r = part.x + part.length, part.y + part.height / 2, part.height / 2
    angles = [math.pi * (k / 40 - 0.5) for k in range(1, 40)]
    part.outline[1:3] = [
        (x, part.y, 0.0),
        *((x + r * math.cos(a), y + r * math.sin(a), 0.0) for a in angles),
        (x, part.y + part.height, 0.0),
    ]
    part.drop_outline()
    part.draw_outline()
    return part.x, part.y


def _fine_chords(part: Part) -> Place:
    """The belly as chords of half a millimetre: each turns by 0.03 degrees, and numbers are rounded to 0.001 mm."""
    centre, start, end, r = ezdxf.math.bulge_to_arc((part.x, part.y), (part.x + part.length, part.y), 0.05)
    count = round(r * (end - start) / 0.5)
    angles = [start + (end - start) * k / count for k in range(1, count)]
    part.outline[1:1] = [
        (round(centre.x + r * math.cos(a), 3), round(centre.y + r * math.sin(a), 3), 0.0) for a in angles
    ]
    part.outline[0] = (part.x, part.y, 0.0)
    part.drop_outline()
    part.draw_outline()
    return part.x, part.y


def _polygon(count: int) -> Callable[[Part], Place]:
    def spoil(part: Part) -> Place:
        """A hole of 8 mm as so many lines."""
        x, y = part.x + 0.9 * part.length, part.y + part.height / 2
        angles = [2 * math.pi * k / count for k in range(count)]
        part.draw([(x + 4 * math.cos(a), y + 4 * math.sin(a), 0.0) for a in angles])
        return x + 4, y

    return spoil


def _bulged_repetition(part: Part) -> Place:
    """A vertex twice, with an arc between the two."""
    part.outline.append((part.x, part.y, 0.05))
    part.outline[0] = (part.x, part.y, 1.0)
    part.drop_outline()
    part.draw([part.outline[-1], *part.outline[1:-1], (part.x, part.y, 1.0)])
    return part.x, part.y


def _wide(part: Part) -> Place:
    part.drop_outline()
    if part.version == "R12":
        line = part.doc.modelspace().add_polyline2d(part.outline, format="xyb", close=True)
        line.dxf.default_start_width = line.dxf.default_end_width = 0.5
    else:
        rows = [(x, y, 0.0, 0.5 if k == 2 else 0.0, b) for k, (x, y, b) in enumerate(part.outline)]
        part.doc.modelspace().add_lwpolyline(rows, close=True)
    return part.x, part.y


def _thick(part: Part) -> Place:
    part.doc.modelspace()[1].dxf.thickness = 4.0
    return part.centres[0][0] + part.radius, part.centres[0][1]


def _far(part: Part) -> Place:
    part.x += 1e6
    for entity in part.doc.modelspace():
        entity.translate(1e6, 0, 0)
    return part.x, part.y - part.low


def _flat_arc(part: Part) -> Place:
    """The upper side as an arc of some kilometres' radius."""
    part.outline[2] = (*part.outline[2][:2], 1e-6 * part.length)
    part.drop_outline()
    part.draw_outline()
    return part.x + part.length / 2, part.y + part.height


def _speck(part: Part) -> Place:
    """A line without length in the middle of another."""
    x, y = part.x + 0.3 * part.length, part.y + part.height
    part.doc.modelspace().add_line((x, y), (x, y))
    return x, y


def _invisible(part: Part) -> Place:
    x, y = part.x + 5, part.y + 5
    part.doc.modelspace().add_line((x, y), (x + 9, y), dxfattribs={"invisible": 1})
    return x, y


def _marks(part: Part) -> Place:
    part.doc.layers.add("ENGRAVE")
    x, y = part.x + 5, part.y + 5
    part.doc.modelspace().add_line((x, y), (x + 9, y), dxfattribs={"layer": "ENGRAVE"})
    return x, y


def _hidden(part: Part) -> Place:
    part.doc.layers.add("old").off()
    x, y = part.x + 5, part.y + 5
    part.doc.modelspace().add_line((x, y), (x + 9, y), dxfattribs={"layer": "old"})
    return x, y


def _metre(part: Part) -> None:
    part.doc.header["$INSUNITS"] = 6


def _unitless(part: Part) -> None:
    part.doc.header["$INSUNITS"] = 0


def _inch(part: Part) -> None:
    """Drawn in mm, said to be inch."""
    part.doc.header["$INSUNITS"] = 1


def _imperial(part: Part) -> None:
    part.doc.header["$MEASUREMENT"] = 0


def _two_layers(part: Part) -> None:
    part.doc.layers.add("INNER")
    part.doc.modelspace()[1].dxf.layer = "INNER"


def _in_layout(part: Part) -> None:
    part.doc.layout("Layout1").add_line((0, 0), (5, 5))


@dataclass(frozen=True)
class Fault:
    """A way to spoil a part.

    Args:
        code: Of the finding that must come.
        spoil: Does it, and gives the place; None where the whole file is concerned.
        near: The place told may be so far off, mm.
        since: Releases that can hold it.
    """

    code: str
    spoil: Callable[[Part], Place | None]
    near: float = 0.1
    since: str = "R12"


FAULTS = {
    "gap of 0.02 mm": Fault("gap", _gap(0.02), near=0.05),
    "gap of 0.4 mm": Fault("gap", _gap(0.4), near=0.05),
    "gap of 0.02 mm between loose pieces": Fault("gap", _loose_gap),
    "loose pieces": Fault("loose", _loose, near=1e3),
    "outline twice": Fault("duplicate", _duplicate, near=1e3),
    "outline twice, the other way round": Fault("duplicate", _reversed_duplicate, near=1e3),
    "circle twice": Fault("duplicate", _same_circle, near=6.0),
    "line on a side": Fault("duplicate", _overlap),
    "arc on the round end": Fault("duplicate", _co_circular, near=8.0),
    "hole across the outline": Fault("crossing", _crossing),
    "bow": Fault("self-crossing", _self_crossing, near=60.0),
    "line on a line": Fault("three-way", _three_way),
    "web of 0.3 mm": Fault("web", _web),
    "rim of 0.3 mm": Fault("web", _rim),
    "fin of 0.3 mm": Fault("neck", _fin, near=2.2),
    "neck of 0.3 mm": Fault("neck", _neck),
    "notch of 0.3 mm": Fault("narrow-gap", _notch, near=2.2),
    "hole of 1 mm": Fault("hole-too-small", _small_hole),
    "sharp inside corner": Fault("inside-corner", _sharp),
    "inside radius of 0.6 mm": Fault("inside-radius", _small_radius),
    "spline": Fault("spline", _spline, since="R2000"),
    "ellipse": Fault("ellipse", _ellipse, near=8.1, since="R2000"),
    "text": Fault("text", _text),
    "point": Fault("point", _point),
    "block": Fault("block", _block),
    "solid": Fault("hatch", _solid),
    "line above the plane": Fault("not-flat", _lifted),
    "hole outside": Fault("hole-outside", _outside),
    "two outlines": Fault("two-outlines", _second, near=1e3),
    "circle in a hole": Fault("nested", _nested),
    "open outline": Fault("open", _open, near=400.0),
    "stray line": Fault("open", _stray_line),
    "tiny piece": Fault("tiny", _tiny),
    "first point twice": Fault("tiny", _repeated_vertex),
    "chords": Fault("chords", _chords, near=1e3),
    "chords of 0.5 mm": Fault("chords", _fine_chords, near=1e3),
    "circle of 16 lines": Fault("chords", _polygon(16)),
    "circle of 24 lines": Fault("chords", _polygon(24)),
    "line with a width": Fault("wide-line", _wide),
    "circle that stands up": Fault("thickness", _thick, near=6.0),
    "a kilometre off": Fault("far-away", _far),
    "arc of kilometres": Fault("flat-arc", _flat_arc),
    "arc between a point and itself": Fault("tiny", _bulged_repetition),
    "line without length": Fault("tiny", _speck),
    "marks": Fault("marks", _marks),
    "invisible": Fault("hidden-layer", _invisible, since="R2000"),
    "switched off": Fault("hidden-layer", _hidden),
    "metre": Fault("unit-odd", _metre, since="R2000"),
    "no unit": Fault("unit-missing", _unitless, since="R2000"),
    "mm said to be inch": Fault("size", _inch, since="R2000"),
    "metric and imperial": Fault("unit-disagrees", _imperial, since="R2000"),
    "two layers": Fault("layers", _two_layers),
    "paper space": Fault("paper-space", _in_layout, since="R2000"),
}
"""What can go wrong, by name."""
