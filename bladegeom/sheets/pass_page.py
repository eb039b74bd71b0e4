"""The pass sheet of a cut file as it was checked: beside the design that it cuts, where that is known."""

from __future__ import annotations

from collections.abc import Sequence

from bladegeom.cutfile.verify_cut_file import CutFileCheck
from bladegeom.drawing.sheet import PagePiece
from bladegeom.knife.revision_id import revision_id
from bladegeom.quantities.lettering import spelled
from bladegeom.sheets.pass_sheet import pass_sheet
from bladegeom.sheets.shop_order import order_rows


def pass_page(check: CutFileCheck, *, remarks: Sequence[str] = ()) -> tuple[PagePiece, PagePiece]:
    """The page to attach to the order, for whatever paper, in the versions in which it is tried.

    Args:
        check: What preflight found.
        remarks: Lines for the head.
    """
    if check.meant is None:
        title, order = spelled(check.found.plan.name), order_rows(check.found)
    else:
        knife, part = check.meant.knife, check.meant.part
        title = f"{knife.name}, revision {revision_id(knife)}" + ("" if part.part == "steel" else f", {part.part}")
        order = order_rows(check.found, check.off, knife, part)
    return pass_sheet(check.found, title=title, order=order, off=check.off, remarks=remarks)
