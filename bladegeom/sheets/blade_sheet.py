"""The templates on paper: faces, the view from the spine, scales; on as few pages as hold them, or in pages to join."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Drawing, Path, Sheet
from bladegeom.drawing.footprint import Footprint
from bladegeom.drawing.shared_page import SharedPage, SharedPages
from bladegeom.drawing.sheet import PagePiece, on_smallest
from bladegeom.drawing.tile_page import Box
from bladegeom.drawing.tiles import tiles_or_why
from bladegeom.grinding.grind_words import tang_range, taper_words
from bladegeom.knife.grind import Flank
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.mass.unweighed import knife_words, unweighed
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.papers import Paper
from bladegeom.quantities.shown import rule_length, scale_mass, sold_thickness
from bladegeom.quantities.units import show_parameter
from bladegeom.sheets.notes import hole_words
from bladegeom.sheets.scale_pages import NO_GLOVES, scale_pieces
from bladegeom.sheets.spine_view import spine_strips, spine_view
from bladegeom.sheets.template import is_handed, template_drawing

_FOOT = (
    NO_GLOVES,
    "Cut outside the line. Numbers are starting points: the steel maker's, the shop's and local rules come first.",
)

_PLUNGE_FREE = 1.5
"""Kept between a seam's overlap and the plunge line with the hollow along it, mm."""


@dataclass(frozen=True, kw_only=True)
class BladePages:
    """The templates on one paper.

    Args:
        paper: The sheet.
        faces: For each face that has a template of its own, the sheet on which it stands, or several to be joined.
        sheets: All of them: with the bar from above, its edge, and the scales.
    """

    paper: Paper
    faces: Mapping[Flank, tuple[Sheet, ...]]
    sheets: tuple[Sheet, ...]

    @property
    def is_whole(self) -> bool:
        """Whether no face must be joined from pages."""
        return all(len(sheets) == 1 for sheets in self.faces.values())


@dataclass(frozen=True, kw_only=True)
class _Piece:
    """A piece as it is drawn best, then with fewer words; drawn for a page only where the least of it fits there."""

    versions: Sequence[Callable[[], PagePiece]]
    least: Footprint | None = None
    whole: Sequence[Box] = ()


@dataclass(frozen=True, kw_only=True)
class _Pieces:
    """Of the steel.

    Args:
        faces: Each that has a template of its own.
        spine: The bar from above and its edge below each other.
        strips: The same one by one.
    """

    faces: Mapping[Flank, _Piece]
    spine: _Piece
    strips: Sequence[PagePiece]


def blade_pages(design: Design, papers: Sequence[Paper], *, remarks: Sequence[str] = ()) -> tuple[BladePages, ...]:
    """The blade template on the first of some papers; where it must be joined there, in one piece on another as well.

    Args:
        design: The knife, and what follows from it; its parameters are printed, so that the sheet can be made again.
        papers: In the order in which to try them.
        remarks: What must be said on every sheet, such as errors that stand or were overridden.

    Raises:
        ExportError: None of them holds it, not even in pages to be joined.
    """
    pieces, scales = _pieces(design, remarks), scale_pieces(design.knife, design.title, tuple(remarks))
    first = _on(papers[0], pieces, scales, papers)
    if isinstance(first, BladePages) and first.is_whole:
        return (first,)
    others = (_on(paper, pieces) for paper in papers[1:])
    whole = next((pages for pages in others if isinstance(pages, BladePages) and pages.is_whole), None)
    if isinstance(first, str):
        if whole is None:
            raise ExportError(first)
        return (whole,)
    return (first,) if whole is None else (first, whole)


def _on(
    paper: Paper, pieces: _Pieces, scales: Sequence[PagePiece] = (), papers: Sequence[Paper] = ()
) -> BladePages | str:
    """All pieces on one paper, scales on the first of several that takes them; or why one does not go on it at all."""
    pages = SharedPages(paper=paper)
    faces: dict[Flank, SharedPage] = {}
    for flank, piece in pieces.faces.items():
        placed = _put(pages, piece)
        if isinstance(placed, str):
            return placed
        faces[flank] = placed
    above, *edges = pieces.strips
    if whole := above.on(paper) is not None:
        pages.put(above)
    elif isinstance(why := _put(pages, pieces.spine), str):
        return why
    last: SharedPage | None = None
    for small in scales:
        # What is drilled in the scales stands beside one of them.
        last = pages.put(small, last) or pages.add(SharedPage(sheets=(on_smallest((small,), papers)[1],)))
    for edge in edges if whole else ():
        pages.put(edge) or pages.add(SharedPage(sheets=(on_smallest((edge,), papers)[1],)))
    return BladePages(paper=paper, faces={flank: page.sheets for flank, page in faces.items()}, sheets=pages.sheets)


def _put(pages: SharedPages, piece: _Piece) -> SharedPage | str:
    """As it is drawn best beside what is there, or alone with fewer words, or in pages to be joined; or why not."""
    if piece.least is None or piece.least.fits(pages.paper):
        for drawn in piece.versions:
            if page := pages.put(drawn()):
                return page
    best = piece.versions[0]()
    sheets = tiles_or_why(best.drawing, pages.paper, best.head, best.foot, whole=piece.whole)
    return sheets if isinstance(sheets, str) else pages.add(SharedPage(sheets=sheets))


def _pieces(design: Design, remarks: Sequence[str]) -> _Pieces:
    knife = design.knife
    flanks: tuple[Flank, ...] = ("right", "left") if is_handed(knife) else ("right",)
    faces: dict[Flank, _Piece] = {}
    for flank in flanks:
        face = flank if is_handed(knife) else None
        head = _head(design, face, remarks)
        holes = f"Holes: {'; '.join(hole_words(knife))}."
        short = [partial(_face_piece, knife, face, (*head, holes), short=True)] if knife.openings else []
        versions = [partial(_face_piece, knife, face, head), *short]
        plunge = _about_plunge(knife, mirrored=face == "left")
        faces[flank] = _Piece(versions=versions, least=_border(knife), whole=[plunge])
    lines = (design.title, "Bar and edge at true size.", *remarks)
    spine = _Piece(versions=[partial(_spine_piece, knife, lines)])
    return _Pieces(faces=faces, spine=spine, strips=_strips(knife, lines))


@memo
def _face_piece(knife: Knife, face: Flank | None, head: tuple[str, ...], *, short: bool = False) -> PagePiece:
    return PagePiece(drawing=template_drawing(knife, face=face, short=short), head=head, foot=_FOOT, turns=True)


@memo
def _border(knife: Knife) -> Footprint:
    """What the bare outline covers; its mirror image fits where it does."""
    return Footprint(Drawing(name=knife.name, items=(Path(layer="CUT", curve=knife.outline.loop, closed=True),)))


@memo
def _spine_piece(knife: Knife, head: tuple[str, ...]) -> PagePiece:
    return PagePiece(drawing=spine_view(knife), head=head, foot=_FOOT, turns=True)


@memo
def _strips(knife: Knife, head: tuple[str, ...]) -> tuple[PagePiece, ...]:
    return tuple(PagePiece(drawing=strip, head=head, foot=_FOOT) for strip in spine_strips(knife))


def _head(design: Design, face: Flank | None, remarks: Sequence[str]) -> tuple[str, ...]:
    knife, weighing = design.knife, design.weighing
    x0, _, x1, _ = knife.outline.bounds
    only = f" Ground on the {knife.grind.only} side only." if knife.grind.only else ""
    called = ", ".join(f"{name} {show_parameter(value)}" for name, value in design.parameters.items())
    whole, metal = knife_words(unweighed(knife)).capitalize(), knife.stock.metal_word
    named = {None: "right face", "right": "RIGHT FACE", "left": "LEFT FACE, mirrored"}[face]
    return (
        design.title,
        f"Blade template, {named}.{only} {_stock_words(knife)}",
        f"Overall length {rule_length(x1 - x0)}: measure it on the print, and again after gluing.",
        f"{whole} {scale_mass(weighing.total.amount)}, {metal} {scale_mass(weighing.blade.mass.amount)}.",
        *((f"Parameters: {called}.",) if called else ()),
        *remarks,
    )


def _stock_words(knife: Knife) -> str:
    stock = knife.stock
    taper = f", {taper_words(stock.taper, tang_range(knife))}" if stock.taper else ""
    return f"{stock.material.name}, {sold_thickness(stock.thickness)} thick{taper}."


def _about_plunge(knife: Knife, *, mirrored: bool) -> Box:
    """Plunge line with the hollow along it."""
    (x0, y0), (x1, y1) = knife.plunge_line.start, knife.plunge_line.end
    low, high = min(x0, x1) - _PLUNGE_FREE, max(x0, x1) + _PLUNGE_FREE + knife.grind.plunge.radius
    low, high = (-high, -low) if mirrored else (low, high)
    return low, min(y0, y1), high, max(y0, y1)
