"""Contact sheets and the page of all profiles: every shape is there, at one scale, and nothing runs into anything."""

from __future__ import annotations

import functools
import itertools
import re
import xml.etree.ElementTree as ET
from pathlib import Path as File

import numpy as np
import pytest
import shapely

from bladegeom import profiles
from bladegeom.cli import main
from bladegeom.commands.drawer import contact_sheets, names_of, profiles_page
from bladegeom.curves.bounding_box import bounding_box
from bladegeom.drawing.drawing import Label, Path, Sheet
from bladegeom.outline.outline import Outline, join_halves
from bladegeom.outline.parameter import parameters
from bladegeom.sheets.contact_sheet import Cell, contact_sheet, grid_sheet, in_rows, profile_picture
from bladegeom.writers.svg import svg_of_sheet

Tanto, Chef, Swelled, Taper = (profiles.get(name) for name in ("tanto", "chef", "swelled", "taper"))


@functools.cache
def sheet() -> Sheet:
    return contact_sheet(Tanto, Swelled(), title="Tanto")


@functools.cache
def page() -> str:
    return profiles_page()["profiles.html"].decode()


def outlines(sheet: Sheet) -> list[Path]:
    """What is drawn in full, neither filled nor dashed."""
    return [i for i in sheet.drawing.items if isinstance(i, Path) and not i.filled and not i.pen.dashes]


def labels(sheet: Sheet) -> list[Label]:
    return [item for item in sheet.drawing.items if isinstance(item, Label)]


def test_a_sheet_shows_the_profile_and_both_ends_of_every_range() -> None:
    told = [label.text for label in labels(sheet())]
    assert told[0].startswith("Tanto (1 : ")
    assert told[1] == "as it comes"
    for parameter in parameters(Tanto):
        for value in (parameter.low, parameter.high):
            assert f"{parameter.name} = {value:g} {parameter.unit} (comes with {parameter.default:g})" in told
    assert len(outlines(sheet())) == 1 + 2 * len(parameters(Tanto)) == len(told) - 1


def test_all_outlines_have_the_scale_that_is_told() -> None:
    scale = float(labels(sheet())[0].text.partition("1 : ")[2].rstrip(")"))
    drawn = [np.ptp(np.array(bounding_box(path.curve.pieces)).reshape(2, 2), axis=0) for path in outlines(sheet())]
    plain = join_halves(Tanto(), Swelled()).bounds
    assert drawn[0] * scale == pytest.approx([plain[2] - plain[0], plain[3] - plain[1]], abs=1e-6)
    longest = join_halves(Tanto(blade_length=parameters(Tanto)[0].high), Swelled()).bounds
    assert drawn[2][0] * scale == pytest.approx(longest[2] - longest[0], abs=1e-6)


def test_nothing_on_a_sheet_touches_anything_or_leaves_the_page() -> None:
    boxes = [shapely.box(*bounding_box(path.curve.pieces)) for path in outlines(sheet())]
    boxes += [shapely.Polygon(label.corners) for label in labels(sheet())]
    assert not any(a.intersects(b) for a, b in itertools.combinations(boxes, 2))
    border = shapely.box(9.9, 9.9, sheet().width - 9.9, sheet().height - 9.9)
    assert all(box.within(border) for box in boxes)


def test_the_half_that_is_meant_is_darker() -> None:
    knife = join_halves(Chef(), Taper())
    for half, front_darker in (("blade", True), ("handle", False)):
        filled = [
            i
            for i in profile_picture(Cell(title="x", outline=knife, half=half)).items
            if isinstance(i, Path) and i.filled
        ]
        front, rear = sorted(filled, key=lambda path: -bounding_box(path.curve.pieces)[2])
        assert (front.pen.grey < rear.pen.grey) == front_darker


def test_a_grid_stands_in_rows() -> None:
    knife: Outline = join_halves(Chef(), Taper())
    rows = in_rows([Cell(title=str(i), outline=knife) for i in range(5)], 2)
    assert [[cell.title for cell in row] for row in rows] == [["0", "1"], ["2", "3"], ["4"]]
    titles = {label.text: label for label in labels(grid_sheet(rows, title="grid"))}
    assert titles["0"].y == titles["1"].y > titles["2"].y == titles["3"].y > titles["4"].y
    assert titles["0"].x == titles["2"].x == titles["4"].x < titles["1"].x == titles["3"].x


def test_every_profile_has_a_sheet_and_stands_on_the_common_one() -> None:
    sheets = contact_sheets()
    assert set(sheets) == {"all_profiles.svg", *(f"{name}.svg" for name in profiles.names())}
    texts = [node.text for node in ET.fromstring(sheets["all_profiles.svg"]).iter() if node.tag.endswith("}text")]
    assert texts[1:] == [*names_of("blade"), *names_of("handle")]
    assert sheets["tanto.svg"] == svg_of_sheet(sheet())


def test_the_page_needs_no_other_file_and_holds_every_profile() -> None:
    assert page().count("<svg ") == page().count("</svg>") == len(profiles.names())
    assert re.findall(r"<b>(\w+)</b>", page()) == [*names_of("blade"), *names_of("handle")]
    assert not re.search(r"(?:src|href)=|url\(|<script|<link|@import", page())
    for parameter in parameters(Tanto):
        assert f"<td>{parameter.name}</td>" in page()
    for drawn in re.findall(r"<svg .*?</svg>", page(), flags=re.S):
        ET.fromstring(drawn)


def test_pictures_on_the_page_have_one_scale() -> None:
    shares = [float(share) for share in re.findall(r"<figure style='--share: ([\d.]+)%'", page())]
    widths = [float(width) for width in re.findall(r"<svg [^>]*?width=\"([\d.]+)mm\"", page())]
    assert len(shares) == len(widths) == len(profiles.names())
    assert max(shares) == 100.0
    assert shares == pytest.approx([100 * width / max(widths) for width in widths], abs=0.06)


def test_the_command_writes_the_page(tmp_path: File, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "new folder" / "drawer.html"
    assert main(["profiles", "--html", str(target)]) == 0
    assert target.read_text(encoding="utf-8") == page()
    assert capsys.readouterr().out == f"{target} written: all profiles, with pictures; open it in a browser\n"
    with pytest.raises(SystemExit) as stop:
        main(["profiles", "tanto", "--html", str(target)])
    assert stop.value.code == 2
    # A folder stands where the page should go.
    assert main(["profiles", "--html", str(tmp_path)]) == 2


def test_the_list_has_a_line_for_each(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["profiles"]) == 0
    lines = capsys.readouterr().out.splitlines()
    told = {line.split()[0]: line for line in lines if line.startswith("  ")}
    assert list(told) == [*names_of("blade"), *names_of("handle")]
    assert len(lines) == len(told) + 2
    assert all(line.rstrip().endswith(".") for line in told.values())
