"""Solids as 3MF: unit, names and colours stand in the file.

Source: 3MF Core Specification 1.3 (3MF Consortium; ISO/IEC 25422), parts 3 to 5, and its package after ECMA-376 part 2.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Sequence
from typing import Final
from xml.sax.saxutils import escape

import numpy as np

from bladegeom.quantities.appearances import colour_of
from bladegeom.quantities.lettering import one_line
from bladegeom.quantities.materials import Material
from bladegeom.solids.mesh import Mesh
from bladegeom.writers.ownership import MARK
from bladegeom.writers.solid_body import SolidBody

_MODEL_PATH: Final = "3D/3dmodel.model"

_TYPES: Final = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>'
    "</Types>\n"
)
_RELATIONS: Final = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    f'<Relationship Target="/{_MODEL_PATH}" Id="rel0" '
    'Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>'
    "</Relationships>\n"
)

_MODEL: Final = """\
<?xml version="1.0" encoding="UTF-8"?>
<model unit="millimeter" xml:lang="en-US" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">
<metadata name="Title">{title}</metadata>
<metadata name="Description">{description}</metadata>
<metadata name="Application">bladegeom</metadata>
<resources><basematerials id="1">{bases}</basematerials>
{objects}</resources>
<build>{items}</build>
</model>
"""

_MATERIALS_ID, _FIRST_ID = 1, 2
"""Numbers of what stands in the file: its materials, then its objects."""

_NO_CLOCK: Final = (1980, 1, 1, 0, 0, 0)
"""The first day that a zip can tell: the same solids give the same bytes."""


def three_mf(bodies: Sequence[SolidBody], *, title: str, description: str, joined: str | None = None) -> bytes:
    """A 3MF file in mm; the same bodies give the same bytes.

    Coordinates have five decimals.

    Args:
        bodies: One object each, at least one.
        title: Over it all.
        description: What it is, with its revision.
        joined: Name of the one thing that all are parts of, which keeps them in place to each other; None lets each
            be moved on its own.
    """
    materials = list(dict.fromkeys(body.material for body in bodies))
    numbers = range(_FIRST_ID, _FIRST_ID + len(bodies))
    objects = [_object(id_, body, materials) for id_, body in zip(numbers, bodies, strict=True)]
    items = "".join(f'<item objectid="{id_}"/>' for id_ in numbers)
    if joined:
        items = _lifted(numbers.stop, bodies)
        objects.append(_joined(numbers.stop, joined, numbers))
    model = _MODEL.format(
        title=_text(title),
        description=_text(description),
        bases="".join(f'<base name="{_text(each.name)}" displaycolor="{_hex(each)}"/>' for each in materials),
        objects="".join(objects),
        items=items,
    )
    return _package({"[Content_Types].xml": _TYPES, "_rels/.rels": _RELATIONS, _MODEL_PATH: model})


def _object(id_: int, body: SolidBody, materials: Sequence[Material]) -> str:
    mesh = f"<vertices>{_vertices(body.mesh)}</vertices><triangles>{_triangles(body.mesh)}</triangles>"
    look = f'pid="{_MATERIALS_ID}" pindex="{materials.index(body.material)}"'
    return f'<object id="{id_}" type="model" name="{_text(body.name)}" {look}><mesh>{mesh}</mesh></object>\n'


def _joined(id_: int, name: str, parts: Sequence[int]) -> str:
    components = "".join(f'<component objectid="{part}"/>' for part in parts)
    return f'<object id="{id_}" type="model" name="{_text(name)}"><components>{components}</components></object>\n'


def _lifted(id_: int, bodies: Sequence[SolidBody]) -> str:
    """Put where a bed is, with no coordinate less than 0; those of the bodies stay as they are."""
    low = np.min([body.mesh.vertices.min(axis=0) for body in bodies], axis=0)
    x, y, z = (0.0 - low).tolist()
    return f'<item objectid="{id_}" transform="1 0 0 0 1 0 0 0 1 {x:.5f} {y:.5f} {z:.5f}"/>'


def _text(text: str) -> str:
    """With the named references of XML alone: the consortium's own library refuses numbered ones."""
    return escape(one_line(text), {'"': "&quot;"})


def _hex(material: Material) -> str:
    """Its colour as a file names one, such as #B0B4B8."""
    return "#{:02X}{:02X}{:02X}".format(*colour_of(material))


def _vertices(mesh: Mesh) -> str:
    # Minus nothing is nothing.
    rounded = np.round(mesh.vertices, 5) + 0.0
    return '<vertex x="%.5f" y="%.5f" z="%.5f"/>' * len(rounded) % tuple(rounded.ravel().tolist())


def _triangles(mesh: Mesh) -> str:
    corners = mesh.triangles
    return '<triangle v1="%d" v2="%d" v3="%d"/>' * len(corners) % tuple(corners.ravel().tolist())


def _package(parts: dict[str, str]) -> bytes:
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as package:
        for name, content in parts.items():
            entry = zipfile.ZipInfo(name, _NO_CLOCK)
            # Told alike on every system.
            entry.create_system, entry.external_attr, entry.compress_type = 3, 0o644 << 16, zipfile.ZIP_DEFLATED
            package.writestr(entry, content.encode())
        package.comment = b"made by " + MARK
    return file.getvalue()
