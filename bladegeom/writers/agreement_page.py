"""The customer's page as one HTML file: to mail, to look at on any screen, to print; without a script."""

from __future__ import annotations

from collections.abc import Sequence

from bladegeom.agreement.page_parts import CustomersPage
from bladegeom.sheets.pointed_view import PointedView, under_views
from bladegeom.writers.html import html_page


def agreement_html(page: CustomersPage, views: Sequence[PointedView]) -> bytes:
    """The page; the same values give the same bytes.

    Args:
        page: What it says.
        views: The pictures with their pointers.
    """
    return html_page(
        "agreement.html.j2",
        title=page.title,
        page=page,
        date="" if page.date is None else str(page.date),
        views=views,
        under_views=under_views(views),
        foot=f"{page.title}, revision {page.mark}",
    )
