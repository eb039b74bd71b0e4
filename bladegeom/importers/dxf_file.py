"""Opening a DXF that somebody else wrote: bounded in time and memory, and what is wrong told in trade words."""

from __future__ import annotations

import codecs
import io
import itertools
import logging
import re
from collections.abc import Iterable, Iterator
from typing import Final

from ezdxf.document import Drawing as Document
from ezdxf.entities import Insert
from ezdxf.lldxf.tagger import ascii_tags_loader, binary_tags_loader
from ezdxf.lldxf.types import DXFTag
from ezdxf.tools.codepage import toencoding

from bladegeom.quantities.file_errors import UnreadableFileError

MOST_BYTES: Final = 20_000_000
"""Largest file; own choice: a cut file of one part has 10 to 200 kB."""

MOST_ENTITIES: Final = 50_000
"""Things in a file, vertices of old polylines and entries of tables included; own choice."""

MOST_TAGS: Final = 1_000_000
"""Pairs of group code and value; own choice: it holds the memory below a gigabyte."""

MOST_VERTICES: Final = 200_000
"""Pairs of coordinates, which bounds the vertices of giant polylines; own choice."""

MOST_EXPANDED: Final = 100_000
"""Things that all blocks stand for when they are taken apart, blocks within blocks counted through; own choice."""

FARTHEST: Final = 1e7
"""Greatest size of a coordinate in units of the file: 10 km in mm; own choice."""

_UNKNOWN = 1e20
"""Written for extents that nobody has measured. Source: DXF reference, $EXTMIN."""

_DEEPEST = 64
"""Blocks within blocks; own choice."""

_BINARY = b"AutoCAD Binary DXF\r\n\x1a\x00"

_OTHERS: Final = (
    (b"AC10", "a DWG"),
    (b"%PDF", "a PDF"),
    (b"%!PS", "a PostScript or AI file"),
    (b"PK\x03\x04", "a ZIP archive: take the DXF out of it first"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"<?xml", "an SVG or another XML file"),
    (b"<svg", "an SVG"),
    (b"solid ", "an STL mesh"),
    (b"ISO-10303", "a STEP solid"),
)
"""How files begin that are taken for a DXF; sources: the formats' specifications."""

_REMEDY = "write it again from the CAD program as DXF, release 2000, ASCII"

_COORDINATES = frozenset((*range(10, 60), *range(110, 150), *range(210, 240), *range(460, 470), *range(1010, 1060)))
"""Group codes of real numbers. Source: DXF reference, group code value types."""

_VARIABLE = 9
"""Group code of the name of a header variable. Source: DXF reference, HEADER section."""

_OF_UNIT: Final = frozenset(("$INSUNITS", "$MEASUREMENT"))

_VERTEX = 20
"""Group code of the y of a vertex or a point. Source: DXF reference."""

# Notices about small repairs are for programmers; a maker's terminal is no place for them.
logging.getLogger("ezdxf").addHandler(logging.NullHandler())


def open_dxf(data: bytes, name: str) -> Document:
    """A DXF document, ASCII or binary, of any release that the library behind knows (R12 and later).

    Its header says of the unit what the file says, and nothing where the file says nothing.

    Args:
        data: The whole file.
        name: What to call it in messages.

    Raises:
        UnreadableFileError: It is another kind of file, broken off, damaged, or larger than the limits of this module.
    """
    if len(data) > MOST_BYTES:
        raise UnreadableFileError(
            name, f"the file has {len(data) / 1e6:.1f} MB, more than {MOST_BYTES / 1e6:.0f} MB; send one part alone"
        )
    _require_dxf(data, name)
    said: set[str] = set()
    try:
        doc = Document.load(itertools.chain(_missing_header(data), _watched(_tags(data), name, said)))
        _require_few_when_expanded(doc, name)
    except UnreadableFileError:
        raise
    except Exception as error:
        # The parser was written for sound files: on a damaged one it may raise anything at all.
        raise UnreadableFileError(name, f"the file is damaged ({_short(error)}); {_REMEDY}") from error
    for variable in _OF_UNIT - said:
        # The library fills in metres where a file has no header.
        if variable in doc.header:
            del doc.header[variable]
    return doc


def _require_dxf(data: bytes, name: str) -> None:
    """Refuse what does not begin like a DXF, by its kind where that shows."""
    if not data.strip():
        raise UnreadableFileError(name, "the file is empty")
    if data.startswith(_BINARY):
        return
    for start, kind in _OTHERS:
        if data.lstrip(codecs.BOM_UTF8).startswith(start):
            raise UnreadableFileError(name, f"the file is {kind}, no DXF; save it as DXF, release 2000, ASCII")
    if data[:2] in (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE) or b"\x00" in data[:64]:
        raise UnreadableFileError(name, f"the file is not plain text: UTF-16 or another code; {_REMEDY}")
    if not re.match(rb"(?:\xef\xbb\xbf)?\s*(?:999\s*\n[^\n]*\n\s*)*0\s*\n\s*SECTION\s*\n", data):
        raise UnreadableFileError(name, "the file is no DXF: it does not begin with a section")
    if not re.search(rb"\n\s*0\s*\r?\n\s*EOF\s*$", data[-4096:].rstrip(b"\x00\x1a \t\r\n")):
        raise UnreadableFileError(name, "the file breaks off: its end mark is missing; get the whole file again")


def _tags(data: bytes) -> Iterable[DXFTag]:
    if data.startswith(_BINARY):
        return binary_tags_loader(data)
    text = data.removeprefix(codecs.BOM_UTF8).decode(_encoding(data), errors="surrogateescape")
    return ascii_tags_loader(io.StringIO(text.replace("\r\n", "\n").replace("\r", "\n")))


def _missing_header(data: bytes) -> tuple[DXFTag, ...]:
    """The header that a file lacks which tells its release only by how it marks the parts of a thing.

    Without one the library takes it for release 12, which has no such marks, and loses layers and what closes a line.
    Source: DXF reference, subclass markers (group code 100), since release 13.
    """
    if b"$ACADVER" in data[:20_000] or not re.search(rb"\n\s*100\s*\r?\n\s*AcDb", data):
        return ()
    rows = ((0, "SECTION"), (2, "HEADER"), (9, "$ACADVER"), (1, "AC1015"), (0, "ENDSEC"))
    return tuple(DXFTag(code, value) for code, value in rows)


def _encoding(data: bytes) -> str:
    """UTF-8 since release 2007, before it what the header says. Source: DXF reference, $ACADVER and $DWGCODEPAGE."""
    version = re.search(rb"\$ACADVER\s+1\s+AC(\d{4})\s", data[:20_000])
    if data.startswith(codecs.BOM_UTF8) or (version and int(version[1]) >= 1021):
        return "utf-8"
    page = re.search(rb"\$DWGCODEPAGE\s+3\s+(\w+)\s", data[:20_000])
    return toencoding(page[1].decode("ascii", errors="replace")) if page else "cp1252"


def _watched(tags: Iterable[DXFTag], name: str, said: set[str]) -> Iterator[DXFTag]:
    """The same tags, as long as they keep within the limits and their numbers are numbers.

    Args:
        tags: Of the file.
        name: Of the file, for messages.
        said: Takes the names of the header's variables.
    """
    entities = vertices = 0
    for count, tag in enumerate(tags, start=1):
        code = tag.code
        if code == 0:
            entities += 1
        elif code == _VARIABLE:
            said.add(str(tag.value))
        elif code in _COORDINATES:
            vertices += code == _VERTEX
            _require_number(tag, name)
        if count > MOST_TAGS or entities > MOST_ENTITIES or vertices > MOST_VERTICES:
            raise UnreadableFileError(
                name,
                f"the file holds more than {MOST_ENTITIES} things or {MOST_VERTICES} points; a cut file of one part "
                "has some hundred: send the part alone, with true arcs",
            )
        yield tag


def _require_number(tag: DXFTag, name: str) -> None:
    try:
        value = float(tag.value)
    except ValueError:
        raise UnreadableFileError(
            name, f"the file has {str(tag.value)[:30]!r} where a number must stand; {_REMEDY}"
        ) from None
    if not abs(value) <= FARTHEST and abs(value) != _UNKNOWN:
        raise UnreadableFileError(name, f"the file has a coordinate of {value:g}, which no part can have; {_REMEDY}")


def _require_few_when_expanded(doc: Document, name: str) -> None:
    """Refuse blocks that hold themselves, and blocks within blocks that stand for more than may be taken apart."""
    sizes: dict[str, int] = {}
    for layout in doc.layouts:
        total = 0
        for entity in layout:
            total += _times(entity, doc, name, sizes, ()) if isinstance(entity, Insert) else 1
            if total > MOST_EXPANDED:
                raise UnreadableFileError(
                    name,
                    f"the file has blocks that stand for more than {MOST_EXPANDED} things; explode what is to be cut "
                    "and delete the blocks",
                )


def _times(insert: Insert, doc: Document, name: str, sizes: dict[str, int], above: tuple[str, ...]) -> int:
    """How many things a reference to a block stands for."""
    block = str(insert.dxf.name)
    key = block.lower()
    if key in above or len(above) > _DEEPEST:
        raise UnreadableFileError(name, f"the file has a block {block!r} that holds itself; {_REMEDY}")
    copies = max(1, int(insert.dxf.row_count)) * max(1, int(insert.dxf.column_count))
    if key not in sizes:
        layout = doc.blocks.get(block)
        sizes[key] = sum(
            _times(e, doc, name, sizes, (*above, key)) if isinstance(e, Insert) else 1 for e in layout or ()
        )
    return copies * sizes[key]


def _short(error: Exception) -> str:
    """What a parser said, in one line of printable letters."""
    text = "".join(c if c.isprintable() and not "\ud800" <= c <= "\udfff" else " " for c in str(error))
    return " ".join(text.split())[:120] or type(error).__name__
