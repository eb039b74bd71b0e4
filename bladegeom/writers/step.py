"""STEP files of solids with true surfaces, in mm, with the name and colour of each part. Needs the kernel's extra."""

from __future__ import annotations

import itertools
import re
import tempfile
from collections.abc import Sequence
from pathlib import Path

# isort: off
import bladegeom.breps  # noqa: F401 - first of all: it says what to install where the kernel is missing

# isort: on
from OCP.IFSelect import IFSelect_RetDone
from OCP.Interface import Interface_Static
from OCP.Message import Message, Message_Printer
from OCP.STEPCAFControl import STEPCAFControl_Writer
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.TopLoc import TopLoc_Location
from OCP.XCAFDoc import XCAFDoc_DocumentTool

from bladegeom.breps.knife_breps import BrepPart, knife_breps
from bladegeom.knife.grind import Stage
from bladegeom.knife.knife import Knife
from bladegeom.quantities.appearances import colour_of
from bladegeom.quantities.lettering import one_line
from bladegeom.quantities.solid_errors import SolidError

_MM = 0.001
"""In metres."""

_TIME = "1970-01-01T00:00:00"
"""Stands where the format wants the time of writing: the same parts are the same bytes."""

_TITLE = "bladegeom-title"
"""Stands in its place while the kernel writes, which spells letters beyond ASCII in its own way."""

_SOLID = re.compile(rb"ADVANCED_BREP_SHAPE_REPRESENTATION\('[^']*',\(\s*#\d+,\s*(#\d+)\),\s*(#\d+)\)")
_USAGE = re.compile(rb"(NEXT_ASSEMBLY_USAGE_OCCURRENCE\()'\d+'")
"""The kernel counts these on as long as it runs."""

_NUMBER = re.compile(rb"^#(\d+) = ", re.MULTILINE)
_END = b"\nENDSEC;\nEND-ISO-10303-21;"
_STYLE = (
    "MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',({next}),{context})",
    "STYLED_ITEM('color',({next}),{solid})",
    "PRESENTATION_STYLE_ASSIGNMENT(({next}))",
    "SURFACE_STYLE_USAGE(.BOTH.,{next})",
    "SURFACE_SIDE_STYLE('',({next}))",
    "SURFACE_STYLE_FILL_AREA({next})",
    "FILL_AREA_STYLE('',({next}))",
    "FILL_AREA_STYLE_COLOUR('',{next})",
    "COLOUR_RGB('',{rgb})",
)
"""Each row points at the next."""

_HEADER = re.compile(rb"HEADER;.*?(FILE_SCHEMA\(.*?\);).*?ENDSEC;", re.DOTALL)


def step(knife: Knife, stage: Stage, *, title: str, description: str) -> bytes:
    """A STEP file (AP 214) of all parts of a knife at a stage.

    Args:
        knife: The design.
        stage: Of the work.
        title: Of the assembly.
        description: Of the file, for its head.

    Raises:
        SolidError: A part that the kernel cannot make soundly, or not as heavy as it is weighed; or it cannot write.

    Source: ISO 10303-21 for the head of the file.
    """
    title, parts = one_line(title), knife_breps(knife, stage)
    written = _HEADER.sub(lambda found: _header(title, description, found[1]), _written(_document(parts)), count=1)
    count = itertools.count(1)
    written = _USAGE.sub(lambda found: b"%s'%d'" % (found[1], next(count)), written)
    written = written.replace(f"'{_TITLE}'".encode(), _text(title).encode("ascii"))
    return _coloured(written, [colour_of(part.material) for part in parts])


def _document(parts: Sequence[BrepPart]) -> TDocStd_Document:
    """The assembly with its names."""
    document = TDocStd_Document(TCollection_ExtendedString("bladegeom"))
    XCAFDoc_DocumentTool.SetLengthUnit_s(document, _MM)
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    whole = shapes.NewShape()
    _name(whole, _TITLE)
    for part in parts:
        label = shapes.AddShape(part.solid, False)
        _name(label, part.name)
        _name(shapes.AddComponent(whole, label, TopLoc_Location()), part.name)
    shapes.UpdateAssemblies()
    return document


def _name(label: TDF_Label, name: str) -> None:
    TDataStd_Name.Set_s(label, TCollection_ExtendedString(name, True))


def _written(document: TDocStd_Document) -> bytes:
    """What the kernel writes; it writes to a path only."""
    Message.DefaultMessenger_s().RemovePrinters(Message_Printer.get_type_descriptor_s())
    writer = STEPCAFControl_Writer()
    writer.SetColorMode(False)
    Interface_Static.SetCVal_s("write.step.unit", "MM")
    Interface_Static.SetCVal_s("write.step.schema", "AP214IS")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "parts.step"
        if not writer.Transfer(document) or writer.Write(str(path)) != IFSelect_RetDone:
            raise SolidError("the kernel could not write the parts; nothing was written")
        return path.read_bytes()


def _coloured(file: bytes, colours: Sequence[tuple[int, int, int]]) -> bytes:
    """A file with a colour for each solid, in their order; the kernel's own come in another order each time.

    Raises:
        SolidError: There are more or fewer solids than colours.

    Source: ISO 10303-46, presentation styles, as the kernel itself spells them.
    """
    solids = _SOLID.findall(file)
    if len(solids) != len(colours):
        raise SolidError(f"the kernel wrote {len(solids)} solids for {len(colours)} parts; nothing was written")
    number = max(int(each) for each in _NUMBER.findall(file))
    rows = []
    for (solid, context), colour in zip(solids, colours, strict=True):
        ids = [f"#{number + k}" for k in range(1, 10)]
        number += len(ids)
        rgb = ",".join(f"{channel / 255:.6f}" for channel in colour)
        for own, words in zip(ids, _STYLE, strict=True):
            following = f"#{int(own[1:]) + 1}"
            rows.append(
                f"{own} = {words.format(next=following, solid=solid.decode(), context=context.decode(), rgb=rgb)};"
            )
    styles = "\n".join(rows).encode("ascii")
    return file.replace(_END, b"\n" + styles + _END)


def _header(title: str, description: str, schema: bytes) -> bytes:
    rows = (
        f"FILE_DESCRIPTION(({_text(description)}),'2;1');",
        f"FILE_NAME({_text(title)},'{_TIME}',(''),(''),'','bladegeom','');",
    )
    return b"\n".join([b"HEADER;", *(row.encode("ascii") for row in rows), schema, b"ENDSEC;"])


def _text(words: str) -> str:
    """A string as the format spells it: other letters by their number in UCS-2 or UCS-4.

    So is the apostrophe, which may be doubled too: the kernel's own reader loses its way where one ends a word.
    """
    out = []
    for letter in words:
        code = ord(letter)
        if letter == "\\":
            out.append(2 * letter)
        elif 32 <= code < 127 and letter != "'":
            out.append(letter)
        else:
            out.append(f"\\X2\\{code:04X}\\X0\\" if code < 0x10000 else f"\\X4\\{code:08X}\\X0\\")
    return f"'{''.join(out)}'"
