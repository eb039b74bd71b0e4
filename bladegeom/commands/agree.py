"""The page that a customer signs: the picture, each wish with its number, what is not included, and two signatures."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from bladegeom.agreement.page_parts import CustomersPage
from bladegeom.agreement.page_text import customers_page
from bladegeom.agreement.pointers import Pointer, pointers
from bladegeom.agreement.spots import Seen
from bladegeom.commands.quote import quote
from bladegeom.design.design import Design
from bladegeom.design.own_settings import in_own_settings
from bladegeom.pictures.painting import Painting, painting
from bladegeom.price.price_list import PriceList
from bladegeom.price.price_list_toml import read_prices
from bladegeom.quantities.declared import checked
from bladegeom.quantities.papers import Paper
from bladegeom.quantities.papers import paper as paper_named
from bladegeom.quantities.paths import path_of
from bladegeom.sheets.agreement_sheet import agreement_sheets, room_of
from bladegeom.sheets.pointed_view import PointedView, pointed_views
from bladegeom.writers.agreement_page import agreement_html
from bladegeom.writers.files import require_ending, write_all
from bladegeom.writers.printout import Printout

_WIDTH = 1700
"""Of a picture, pixels: 250 to the inch on the page."""


@dataclass(frozen=True, kw_only=True, eq=False)
class AgreementPage:
    """The page, ready to be looked at, printed and saved.

    Args:
        design: That is agreed on.
        said: What it says.
        paper: On which it is printed.

    >>> page = agreement_page(design)
    >>> page.said.title, len(page.printout.sheets)
    ('Agreement: Rigging knife', 2)
    """

    design: Design
    said: CustomersPage
    paper: Paper

    @cached_property
    def views(self) -> tuple[PointedView, ...]:
        """The pictures with their pointers, in mm of the page."""
        places = pointers(self.design.landings, self.design.knife)
        return pointed_views(_paintings(self.design, places), places, room_of(self.paper))

    @cached_property
    def printout(self) -> Printout:
        """The pages on paper."""
        return Printout(sheets=agreement_sheets(self.said, self.views, self.paper), date=self.said.date)

    @cached_property
    def html(self) -> bytes:
        """As one file for a browser, which needs no other."""
        return agreement_html(self.said, self.views)

    def save(self, path: str | Path) -> tuple[Path, ...]:
        """Write it as PDF, or as HTML.

        Args:
            path: Ends with .pdf or .html.

        Returns:
            What was written.

        Raises:
            ExportError: The name ends otherwise, something else stands in its place, or it cannot be written.
        """
        path = path_of("save", path)
        require_ending("save", path, ".pdf", ".html")
        made = self.printout.pdf if path.suffix.lower() == ".pdf" else self.html
        return write_all(path.parent, {path.name: made})


@in_own_settings
def agreement_page(
    design: Design,
    *,
    prices: PriceList | str | Path | None = None,
    maker: str | None = None,
    date: datetime.date | None = None,
    paper: str | None = None,
) -> AgreementPage:
    """The page that a customer signs.

    Args:
        design: The knife, with its order if there is one.
        prices: The maker's, or the TOML file that holds them, where the price is to stand there; None tells none.
        maker: Who makes it; None takes the one of the design's settings, or leaves a line to write on.
        date: Of the page; None takes the last day on which the order was spoken of, else that of the revision.
        paper: Such as "A4" or "Letter"; None takes the one of the design's settings.

    Raises:
        ParameterError: A value of another kind.
        QuoteError: Something has no price.
        UnknownNameError: No such paper.
        UnreadableFileError: A question tells a price, and the price list of the settings cannot be read.

    >>> [path.name for path in agreement_page(design).save(folder / "agreement.pdf")]
    ['agreement.pdf']
    """
    checked("agreement_page: design", design, Design)
    checked("agreement_page: maker", maker, str | None)
    checked("agreement_page: date", date, datetime.date | None)
    chosen = paper_named(design.settings.paper if paper is None else paper)
    said = customers_page(
        design.route,
        design.landings,
        quote=None if prices is None else quote(design, prices),
        currency=_currency(design) if prices is None else "",
        maker=(design.settings.maker or "") if maker is None else maker,
        date=date,
    )
    return AgreementPage(design=design, said=said, paper=chosen)


def _currency(design: Design) -> str:
    """Of a price in a question to the customer, by the price list in force, which is read for nothing else here."""
    changes = () if design.order is None else design.order.changes
    is_asked = any(change.answer == "open" and change.price is not None for change in changes)
    listed = design.settings.price_list if is_asked else None
    return "" if listed is None else read_prices(listed).currency


def _paintings(design: Design, places: Iterable[Pointer]) -> dict[Seen, Painting]:
    """The right and the left side, and the spine where anything is to be shown there, all at one scale."""
    right = painting((design,), "right", width=_WIDTH, bare=True)
    others: tuple[Seen, ...] = ("spine", "left") if any(p.spot.view == "spine" for p in places) else ("left",)
    rest = {view: painting((design,), view, bare=True, mm_per_pixel=right.mm_per_pixel) for view in others}
    return {"right": right, **rest}
