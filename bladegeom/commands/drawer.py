"""The profiles as pictures: a page for a browser, and contact sheets."""

from __future__ import annotations

from bladegeom import profiles as shelf
from bladegeom.outline.parameter import parameters
from bladegeom.sheets.contact_sheet import Cell, contact_sheet, grid_sheet, in_rows, plain_cell, profile_picture
from bladegeom.writers.files import Files
from bladegeom.writers.profile_page import Entry, profile_page
from bladegeom.writers.svg import svg_of_sheet

_PARTNERS = {"blade": "swelled", "handle": "drop_point"}
"""What a half is joined to for its picture."""


def names_of(half: str) -> list[str]:
    """Names of the profiles of a half, in alphabetical order."""
    return [profile.name for profile in shelf.listed() if profile.half == half]


def profiles_page() -> Files:
    """All profiles with pictures and parameters on one page for a browser, ``profiles.html``.

    >>> page = profiles_page()
    >>> list(page), page["profiles.html"].startswith(b"<!DOCTYPE html>")
    (['profiles.html'], True)
    """
    listed = shelf.listed()
    page = profile_page(
        [(f"{half.title()} profiles", [_entry(each) for each in listed if each.half == half]) for half in _PARTNERS]
    )
    return Files({"profiles.html": page})


def contact_sheets() -> Files:
    """Contact sheets as SVG by file name: one with all profiles, and one for each with the ends of its ranges.

    >>> sheets = contact_sheets()
    >>> "drop_point.svg" in sheets
    True
    """
    named = {half: names_of(half) for half in _PARTNERS}
    rows = [row for half in _PARTNERS for row in in_rows([_cell(name) for name in named[half]], 3)]
    sheets = {"all_profiles": grid_sheet(rows, title="All profiles as they come")}
    for half, partner in _PARTNERS.items():
        for name in named[half]:
            sheets[name] = contact_sheet(
                shelf.get(name), shelf.get(partner)(), title=name.replace("_", " ").capitalize()
            )
    return Files({f"{name}.svg": svg_of_sheet(sheet) for name, sheet in sheets.items()})


def _cell(name: str) -> Cell:
    profile = shelf.get(name)
    return plain_cell(profile, shelf.get(_PARTNERS[shelf.half(profile)])(), title=name)


def _entry(listed: shelf.Listed) -> Entry:
    rows = [
        (
            parameter.name,
            f"{parameter.default:g} {parameter.unit}",
            f"{parameter.low:g} to {parameter.high:g}",
            parameter.meaning,
        )
        for parameter in parameters(shelf.get(listed.name))
    ]
    return Entry(name=listed.name, words=listed.words, picture=profile_picture(_cell(listed.name)), rows=rows)
