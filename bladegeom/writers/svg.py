"""A sheet as SVG at true size: one user unit is one mm."""

from __future__ import annotations

import base64
from collections.abc import Iterable

import svgwrite
from svgwrite.base import BaseElement

from bladegeom.drawing.drawing import Circle, Drawing, Item, Label, Path, Pen, Raster, Sheet, Window
from bladegeom.pictures.png import png_of
from bladegeom.quantities.lettering import EM, lacking, one_line

_FONTS = "'Liberation Sans', Arial, Helvetica, 'DejaVu Sans', sans-serif"
"""The face that texts are measured in, its equals in width, and what else has many letters."""


def svg_of_sheet(sheet: Sheet) -> bytes:
    """The page with its paper size in mm."""
    doc = _page(sheet.drawing.name, 0.0, 0.0, sheet.width, sheet.height)
    holder = doc
    if sheet.scale != (1.0, 1.0):
        (a, d), (x, y) = sheet.scale, sheet.shift
        holder = doc.add(doc.g(transform=f"matrix({a:.6f} 0 0 {d:.6f} {number(x)} {number(-y)})"))
    for raster in sheet.rasters:
        holder.add(_raster(doc, raster))
    for i, window in enumerate(sheet.windows, start=1):
        _add_window(doc, holder, window, f"window{i}")
    for item in sheet.drawing.items:
        holder.add(_element(doc, item))
    return _bytes(doc)


def svg_of_drawing(drawing: Drawing, *, margin: float = 5.0) -> bytes:
    """The drawing alone, on a page that just holds it."""
    x0, y0, x1, y1 = drawing.bounds
    doc = _page(drawing.name, x0 - margin, y0 - margin, x1 + margin, y1 + margin)
    for item in drawing.items:
        doc.add(_element(doc, item))
    return _bytes(doc)


def svg_elements(items: Iterable[Item]) -> str:
    """Items as one group for an SVG that somebody else begins and ends, in mm, y down."""
    doc = svgwrite.Drawing(debug=False)
    group = doc.g()
    for item in items:
        group.add(_element(doc, item))
    return str(group.tostring())


def _page(name: str, x0: float, y0: float, x1: float, y1: float) -> svgwrite.Drawing:
    width, height = x1 - x0, y1 - y0
    doc = svgwrite.Drawing(
        size=(f"{number(width)}mm", f"{number(height)}mm"),
        viewBox=f"{number(x0)} {number(-y1)} {number(width)} {number(height)}",
        debug=False,
    )
    doc.set_desc(title=one_line(name), desc="made by bladegeom")
    doc.add(doc.rect(insert=(number(x0), number(-y1)), size=(number(width), number(height)), fill="#fff"))
    return doc


def _add_window(doc: svgwrite.Drawing, holder: BaseElement, window: Window, name: str) -> None:
    """The same curves as everywhere else; the page itself cuts them off."""
    x0, y0, x1, y1 = window.box
    border = doc.clipPath(id=name)
    border.add(doc.rect(insert=(number(x0), number(-y1)), size=(number(x1 - x0), number(y1 - y0))))
    doc.defs.add(border)
    group = holder.add(doc.g(clip_path=f"url(#{name})"))
    for item in window.drawing.items:
        group.add(_element(doc, item))


def _raster(doc: svgwrite.Drawing, raster: Raster) -> BaseElement:
    place, size = (number(raster.x), number(-raster.y - raster.height)), (number(raster.width), number(raster.height))
    return doc.image(data_uri(raster), insert=place, size=size, preserveAspectRatio="none")


def data_uri(raster: Raster) -> str:
    """The pixels as an address that holds them itself, so that no other file is asked for."""
    per_metre = round(1000 * raster.pixels.shape[1] / raster.width)
    return f"data:image/png;base64,{base64.b64encode(png_of(raster.pixels, per_metre, {})).decode('ascii')}"


def _bytes(doc: svgwrite.Drawing) -> bytes:
    return str(doc.tostring()).encode()


def number(value: float) -> str:
    """A coordinate with a tenth of a micrometre, never -0."""
    return f"{value:z.4f}".rstrip("0").rstrip(".")


def _element(doc: svgwrite.Drawing, item: Item) -> BaseElement:
    if isinstance(item, Label):
        return _text(doc, item)
    if isinstance(item, Circle):
        return doc.circle(
            center=(number(item.x), number(-item.y)),
            r=number(item.radius),
            **_pen(item.pen, filled=item.filled),
            class_=item.layer,
        )
    return doc.path(d=_path(item), **_pen(item.pen, filled=item.filled), class_=item.layer)


def _path(item: Path) -> str:
    pieces = item.curve.pieces
    steps = [f"M{number(pieces[0, 0, 0])} {number(-pieces[0, 0, 1])}"]
    steps += ["C" + " ".join(f"{number(x)} {number(-y)}" for x, y in piece[1:]) for piece in pieces.tolist()]
    return "".join(steps) + ("Z" if item.closed else "")


def _pen(pen: Pen, *, filled: bool) -> dict[str, str]:
    grey = f"#{round(255 * pen.grey):02x}" + f"{round(255 * pen.grey):02x}" * 2
    # A mitred corner would run past the tip.
    style = {"stroke": grey, "stroke_width": number(pen.width), "stroke_linejoin": "round"}
    style["fill"] = grey if filled else "none"
    if pen.dashes:
        style["stroke_dasharray"] = " ".join(number(d) for d in pen.dashes)
    return style


def _text(doc: svgwrite.Drawing, label: Label) -> BaseElement:
    place = (number(label.x), number(-label.y))
    style = {
        "font_family": _FONTS,
        "font_size": number(label.height * EM),
        "text_anchor": label.anchor,
        "class_": label.layer,
    }
    if label.bold:
        style["font_weight"] = "bold"
    if not lacking(label.text):
        # Whatever face the viewer takes, the text keeps to its room.
        style |= {"textLength": number(label.width), "lengthAdjust": "spacingAndGlyphs"}
    if label.angle_deg:
        style["transform"] = f"rotate({number(-label.angle_deg)} {place[0]} {place[1]})"
    return doc.text(label.text, insert=place, **style)
