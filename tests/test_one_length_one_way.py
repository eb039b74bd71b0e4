"""What calipers tell is printed in one way on all pages of a knife: never 3.18 on one and 3.175 on the next.

What a rule or a scribed line tells has one decimal at most (``quantities/shown.py``), and names no size of calipers.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import fastened
import specimens

from bladegeom.book.drill_pages import drill_pages
from bladegeom.book.grind_pages import grind_pages
from bladegeom.book.handle_pages import handle_pages
from bladegeom.design.design import Design
from bladegeom.design.report import report
from bladegeom.drawing.drawing import Label, Sheet
from bladegeom.drilling.card import DrillCard
from bladegeom.grinding.grind_sheet import GrindSheet
from bladegeom.knife.bevels.flat import FlatBevel
from bladegeom.knife.knife import Knife
from bladegeom.knife.stock import Stock
from bladegeom.placing.place import add_fasteners, add_lightening_row
from bladegeom.quantities.papers import paper
from bladegeom.quantities.units import inch, show_both, show_mm
from bladegeom.sheets.balance_pages import balance_pages
from bladegeom.sheets.blade_sheet import blade_pages
from bladegeom.writers.proof import proof
from bladegeom.writers.report_text import as_text

A4 = paper("A4")


@cache
def knife() -> Knife:
    """Of a bar an eighth of an inch thick, its plunge line three eighths ahead of the front."""
    base = specimens.drop_point(scales=fastened.FLAT)
    grind = replace(base.grind, plunge=replace(base.grind.plunge, x=inch("3/8")))
    base = replace(base, stock=Stock(steel="1084", thickness=inch("1/8")), grind=grind)
    return add_fasteners(base, specimens.pins("3/16"), count=2)


def words(sheets: tuple[Sheet, ...]) -> list[str]:
    return [item.text for sheet in sheets for item in sheet.drawing.items if isinstance(item, Label)]


@cache
def texts() -> tuple[str, ...]:
    design = Design(knife(), parameters=CALLED)
    content = report(design)
    (pages,) = blade_pages(design, [A4])
    sheets = (words(tuple(pages.faces["right"])), *(words(of(design, [A4])) for of in PAGES))
    page = re.sub(r"<style.*?</style>|<[^>]+>", "\n", proof(design, content).decode(), flags=re.DOTALL)
    return (*(text for sheet in sheets for text in sheet), *as_text(content).splitlines(), *page.splitlines())


CALLED = {"thickness": inch("1/8"), "front": inch("3/8"), "steel": "1084", "lean": 10.0}
PAGES = (grind_pages, handle_pages, drill_pages, balance_pages)

_NUMBER = r"(?<![\d./:-])\d+(?:\.\d+)?(?![\d./:])"


def lengths(text: str) -> set[str]:
    """Numbers of mm that calipers tell; the name of a drill of 6.35 mm is none."""
    text = re.sub(r"drill \d+(\.\d+)? mm(?=,)|\d+(\.\d+)? mm drill", "", text)
    after = re.findall(rf"({_NUMBER}) mm\b(?!2|3)", text)
    places = re.findall(rf"\bx ({_NUMBER})(?= |$)", text)
    cells = re.findall(rf"({_NUMBER}) \((?:\d+-)?(?:\d+/\d+|\d?\.\d+)\)", text)
    return {number for number in (*after, *places, *cells) if re.search(r"\.\d\d", number)}


def test_no_length_is_printed_in_two_ways() -> None:
    told = {number: text for text in texts() for number in lengths(text)}
    assert {"3.175", "9.525", "4.762"} <= set(told)
    clashes = [
        (a, b, told[a], told[b])
        for a in told
        for b in told
        # Of two readings of one length the shorter differs by less than one of its last digit.
        if len(a.partition(".")[2]) < len(b.partition(".")[2])
        and abs(float(a) - float(b)) < 10.0 ** -len(a.partition(".")[2])
    ]
    assert clashes == []


def test_what_is_said_as_a_fraction_stays_one() -> None:
    joined = "\n".join(texts())
    assert "thickness 3.175 mm (1/8 in), front 9.525 mm (3/8 in), steel 1084, lean 10.0" in joined
    for number, fraction, thousandths in (("3.175", "1/8", "0.125"), ("4.762", "3/16", "0.188")):
        assert re.search(rf"{number} mm \({fraction} in\)|{number} \({fraction}\)", joined)
        assert not re.search(rf"{number} mm \((?!({fraction}|{thousandths}) in)", joined)


def test_a_cut_hole_is_checked_by_the_number_of_its_gauge() -> None:
    """A hole of 9/32 was to be gauged with 7.144 mm and asked for as 7.14 on the same line; now both read alike."""
    made = add_lightening_row(knife())
    diameters = {show_mm(hole.diameter) for hole in made.holes}
    assert any(len(told) == len("7.144") for told in diameters)
    asked = [re.match(r"Is it (\S+) mm on both faces", row.note) for row in DrillCard(made).steps]
    assert {hit[1] for hit in asked if hit} == diameters


def test_a_length_that_is_the_same_at_all_stations_reads_the_same() -> None:
    """Chords of the curved edge once made 15.875 (5/8) at the heel and 15.88 (0.625) at the belly of one bevel."""
    base = knife()
    bevel = FlatBevel(height=inch("5/8"), edge_thickness=0.4)
    sheet = GrindSheet(replace(base, grind=replace(base.grind, bevel=bevel, rough_edge=inch("1/32"))))
    lines = [show_both(station.grind_line) for station in sheet.stations if station.grind_line is not None]
    assert len(lines) >= 3
    assert set(lines) == {"15.875 (5/8)"}
    assert {show_both(edge) for edge in sheet.thickness("rough")[:, 0].tolist()} == {"0.794 (1/32)"}
