"""The pass sheet of a cut file as it was checked: beside the design that it cuts, where that is known."""

from __future__ import annotations

from collections.abc import Sequence

from bladegeom.book.pass_pages import pass_pages
from bladegeom.cutfile.verify_cut_file import CutFileCheck
from bladegeom.drawing.drawing import Sheet
from bladegeom.knife.revision_id import revision_id
from bladegeom.quantities.lettering import spelled
from bladegeom.quantities.papers import Paper
from bladegeom.sheets.shop_order import order_rows


def pass_sheet(check: CutFileCheck, paper: Paper, *, remarks: Sequence[str] = ()) -> tuple[Sheet, ...]:
    """The pages to attach to the order.

    Args:
        check: What preflight found.
        paper: To print on.
        remarks: Lines for the head.

    Raises:
        ExportError: Title and remarks leave no room.
    """
    if check.meant is None:
        title, order = spelled(check.found.plan.name), order_rows(check.found)
    else:
        knife, part = check.meant.knife, check.meant.part
        title = f"{knife.name}, revision {revision_id(knife)}" + ("" if part.part == "steel" else f", {part.part}")
        order = order_rows(check.found, check.off, knife, part)
    return pass_pages(check.found, paper, title=title, order=order, off=check.off, remarks=remarks)
