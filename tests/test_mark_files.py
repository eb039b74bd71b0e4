"""Files of marks, read back by ezdxf and drawn by resvg; drawings out of SVG; findings, route, report and template."""

from __future__ import annotations

import dataclasses
import io
import json
import re
from pathlib import Path
from typing import Any

import ezdxf
import numpy as np
import pytest
import resvg_py
import shapely
from agreements import SIGNED
from draws import draws
from ezdxf import path as dxf_path
from ezdxf.entities import LWPolyline
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image
from refusals import assert_refused
from shapely import affinity
from shapely.geometry.base import BaseGeometry
from specimens import bar_outline, ground

from bladegeom import (
    Artwork,
    Compared,
    Design,
    Knife,
    MarkZone,
    Work,
    artwork_from_svg,
    difference,
    export,
    mark_files,
    report,
)
from bladegeom.checks.marks import check_marks
from bladegeom.commands.export import exported
from bladegeom.drawing.drawing import Label
from bladegeom.drawing.drawing import Path as Line
from bladegeom.knife.finding import Finding
from bladegeom.marking.mark_numbers import mark_numbers
from bladegeom.marking.mark_region import mark_region, shape_of
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.file_errors import ExportError, NotReleasedError, UnreadableFileError
from bladegeom.quantities.mark_ways import mark_ways
from bladegeom.quantities.tolerances import MARK_FIT
from bladegeom.sheets.mark_drawing import mark_drawing
from bladegeom.sheets.zone_marks import zone_marks
from bladegeom.workshop.route import route
from bladegeom.writers.mark_svg import mark_svg
from bladegeom.writers.report_text import as_text

PAGE = "{http://www.w3.org/2000/svg}svg".partition("}")[0].strip("{")
RING = ((0.0, 0.0), (4.0, 0.0), (4.0, 2.0), (0.0, 2.0)), ((1.0, 0.5), (1.0, 1.5), (3.0, 1.5), (3.0, 0.5))


def zone(text: str = "DECK 1", **more: Any) -> MarkZone:
    fields: dict[str, Any] = {"x": 60.0, "y": -6.0, "width": 20.0, "height": 8.0, "text": text, "made": "laser"} | more
    return MarkZone(**fields)


def bar(*zones: MarkZone) -> Knife:
    """Flat from y -12 to 0 ahead of x 10."""
    return ground(bar_outline(heel=10.0), height=18.0, zones=zones)


def read_dxf(data: bytes) -> BaseGeometry:
    """What the closed lines of a file enclose, by the other library's own flattening."""
    doc = ezdxf.read(io.StringIO(data.decode("cp1252")))
    assert doc.header["$INSUNITS"] == 4
    rings = []
    for entity in doc.modelspace():
        assert isinstance(entity, LWPolyline)
        assert entity.closed
        rings.append([(v.x, v.y) for v in dxf_path.make_path(entity).flattening(1e-4)])
    region: BaseGeometry = shapely.Polygon()
    for ring in rings:
        region = shapely.symmetric_difference(region, shapely.Polygon(ring))
    return region


def codes(knife: Knife) -> list[str]:
    return [finding.code for finding in check_marks(knife)]


def one(knife: Knife) -> Finding:
    (finding,) = check_marks(knife)
    return finding


@pytest.mark.parametrize(
    "more", [{}, {"side": "left"}, {"made": "stencil", "bridge": 0.6}, {"text": "B&8", "bold": True}]
)
def test_files_are_the_mark_at_true_size(more: dict[str, Any], tmp_path: Path) -> None:
    mark = zone(**more)
    design = Design(bar(mark))
    (files,) = mark_files(design)
    shape, flipped = shape_of(mark), affinity.scale(shape_of(mark), -1, 1, origin=(0, 0))
    assert sorted(name.rpartition("_")[2] for name in files.contents) == [
        "mirrored.dxf", "mirrored.svg", "true.dxf", "true.svg",
    ]  # fmt: skip
    for name, data in files.contents.items():
        assert f"_marks_1_{mark.side}_" in name
        assert design.revision_id.encode() in data
        meant = flipped if "mirrored" in name else shape
        if name.endswith(".dxf"):
            found = read_dxf(data)
            assert shapely.hausdorff_distance(found.boundary, meant.boundary) < MARK_FIT + 2e-4
            layers = {e.dxf.layer for e in ezdxf.read(io.StringIO(data.decode("cp1252"))).modelspace()}
            assert layers == {"CUT" if mark.made == "stencil" else "MARK"}
        else:
            _require_drawn(data, mark, meant)
            path = tmp_path / "again.svg"
            path.write_bytes(data)
            again = artwork_from_svg(path).region
            x0, y0, x1, y1 = meant.bounds
            times = max(x1 - x0, y1 - y0) / 1000.0
            back = affinity.translate(affinity.scale(again, times, times, origin=(0, 0)), x0, y1)
            assert shapely.hausdorff_distance(back.boundary, meant.boundary) < 3e-4


def _require_drawn(data: bytes, mark: MarkZone, meant: BaseGeometry) -> None:
    """The page is the field, and there is as much ink on it as the mark covers, where it covers it: by resvg."""
    text = data.decode()
    assert f'width="{mark.width:g}mm"' in text
    assert f'height="{mark.height:g}mm"' in text
    per_mm = 50
    png = resvg_py.svg_to_bytes(svg_string=text, dpi=25.4 * per_mm)
    ink = np.asarray(Image.open(io.BytesIO(bytes(png))).convert("RGBA"))[..., 3] / 255
    assert ink.sum() / per_mm**2 == pytest.approx(meant.area, rel=2e-3)
    row, column = np.nonzero(ink > 0.99)
    places = np.stack([(column + 0.5) / per_mm - mark.width / 2, mark.height / 2 - (row + 0.5) / per_mm], axis=1)
    assert shapely.contains_xy(meant.buffer(0.02), places).all()


@draws(20)
@given(st.text(alphabet="AFGKR&47e", min_size=1, max_size=4), st.sampled_from(["right", "left"]))
def test_mirrored_twice_is_the_same(text: str, side: Any) -> None:
    mark = zone(text, side=side)
    true, mirrored = mark_drawing(mark), mark_drawing(mark, mirrored=True)
    pairs = zip(true.items, mirrored.mirrored().items, strict=True)
    assert all(isinstance(a, Line) and isinstance(b, Line) and a.curve == b.curve for a, b in pairs)
    assert sorted(np.abs(true.points).sum(axis=1)) == pytest.approx(sorted(np.abs(mirrored.points).sum(axis=1)))


def test_one_reads_the_true_file_as_the_mark_on_its_face() -> None:
    """The left face is looked at from behind: what lies at greater x is on the left there."""
    for side in ("right", "left"):
        mark = zone("F", side=side)
        region = affinity.translate(mark_region(mark), -mark.x, -mark.y)
        seen = affinity.scale(region, -1, 1, origin=(0, 0)) if side == "left" else region
        # The stem of an F is left of its middle, its arms are above its middle.
        assert seen.equals_exact(shape_of(mark), 1e-9, normalize=True)
        x0, _, x1, _ = seen.bounds
        assert seen.centroid.x < (x0 + x1) / 2


def test_export_holds_the_files_and_tells_what_was_measured(tmp_path: Path) -> None:
    design = Design(bar(zone(depth=0.1), zone("BO", x=100.0), zone("HK", x=140.0, made=None)))
    made = exported(design, papers=("A4",), only=("marks",))
    assert len(made.contents) == 8
    line = mark_numbers(zone(depth=0.1)).line
    assert f"thinnest line {line:.2f} mm" in made.told[0]
    assert "0.1" in made.told[0]
    paths = export(design, tmp_path, papers=("A4",), only=("marks",))
    assert {path.suffix for path in paths} == {".dxf", ".svg"}
    again = exported(design, papers=("A4",), only=("marks",))
    assert again.contents == made.contents


def test_no_files_of_marks_without_a_way_and_of_designs_that_are_kept_back() -> None:
    bare = Design(bar(zone(made=None)))
    assert mark_files(bare) == ()
    with pytest.raises(ExportError, match="no mark with files"):
        exported(bare, papers=("A4",), only=("marks",))
    kept = Design(bar(zone("BO", made="stencil")))
    with pytest.raises(NotReleasedError):
        mark_files(kept)
    assert not exported(kept, papers=("A4",), only=("marks",)).contents
    allowed = Design(bar(zone("BO", made="stencil")), allowed=("mark-island",))
    assert len(mark_files(allowed)) == 1


@pytest.mark.parametrize("made", ["stencil", "electro-etch", "laser"])
@pytest.mark.parametrize("bold", [False, True])
def test_the_field_that_a_finding_names_is_large_enough(made: Any, *, bold: bool) -> None:
    limits = mark_ways()[made]
    small = 0.5 if made == "laser" else 1.0
    mark = zone("HEM 1", width=3.0 * small, height=small, made=made, bold=bold)
    thin = {finding.code: finding for finding in check_marks(bar(mark))}
    assert set(thin) == {"mark-line-thin", "mark-gap-narrow"}
    for code, least in (("mark-line-thin", limits.least_line), ("mark-gap-narrow", limits.least_gap)):
        finding = thin[code]
        assert finding.severity == "warning"
        assert finding.limit == least
        assert finding.measured is not None
        assert finding.measured < least
        assert "no source" in finding.source
        width, height = map(float, re.findall(r"field of ([\d.]+) x ([\d.]+) mm", finding.message)[0])
        larger = dataclasses.replace(mark, width=width, height=height)
        assert code not in codes(bar(larger))
        assert ("bold" in finding.message) == (code == "mark-line-thin" and not bold)


def test_a_thin_place_lies_in_the_mark() -> None:
    small = zone("HEM 1", width=1.5, height=0.5, side="left")
    finding = next(found for found in check_marks(bar(small)) if found.code == "mark-line-thin")
    assert finding.x is not None
    assert finding.y is not None
    assert mark_region(small).covers(shapely.Point(finding.x, finding.y))


def test_islands_fall_out_of_a_stencil_alone() -> None:
    large = {"width": 60.0, "height": 11.0}
    finding = one(bar(zone("BOAT", made="stencil", **large)))
    assert (finding.code, finding.severity, finding.measured) == ("mark-island", "error", 4.0)
    assert codes(bar(zone("BOAT", made="stencil", bridge=0.5, **large))) == []
    assert codes(bar(zone("BOAT", made="electro-etch", **large))) == []
    narrow = one(bar(zone("BOAT", made="stencil", bridge=0.2, **large)))
    assert narrow.code == "mark-gap-narrow"
    assert narrow.measured == pytest.approx(0.2, abs=0.01)


@pytest.mark.parametrize(
    ("made", "deep", "sound"), [("laser", 0.5, 0.2), ("stencil", 0.2, 0.05), ("electro-etch", 0.15, 0.1)]
)
def test_a_mark_deeper_than_its_way_comes(made: Any, deep: float, sound: float) -> None:
    large = {"width": 60.0, "height": 11.0, "made": made}
    finding = one(bar(zone("HILT", depth=deep, **large)))
    assert (finding.code, finding.measured) == ("mark-too-deep", deep)
    assert codes(bar(zone("HILT", depth=sound, **large))) == []


def test_a_mark_of_which_nobody_says_how_it_is_made_is_as_it_was() -> None:
    mark = zone("HEM 1", width=3.0, height=1.0, made=None)
    assert codes(bar(mark)) == []
    (row,) = report(Design(bar(mark)))["zones"]
    assert set(row) == {"kind", "side", "text", "x", "y", "width", "height"}


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ({"made": "burnt"}, "mark zone: made | 'laser'"),
        ({"depth": -0.1}, "mark zone: depth | 0"),
        ({"depth": 0.1, "made": None}, "mark zone: depth | made"),
        ({"bridge": 0.5}, "mark zone: bridge | stencil"),
        ({"bold": True, "artwork": Artwork(rings=RING)}, "mark zone: bold | drawing"),
        ({"artwork": "anchor.svg"}, "mark zone: artwork"),
    ],
)
def test_refused(more: dict[str, Any], told: str) -> None:
    with pytest.raises(ParameterError) as caught:
        zone(**more)
    assert_refused(caught.value, told)


def test_a_drawing_that_encloses_nothing() -> None:
    with pytest.raises(ParameterError) as caught:
        Artwork(rings=(((0.0, 0.0), (1.0, 1.0)),))
    assert_refused(caught.value, "artwork: rings | enclose")


@draws(20)
@given(st.floats(1, 40), st.floats(1, 40))
def test_a_drawing_fills_its_field_and_keeps_its_shape(width: float, height: float) -> None:
    shape = shape_of(zone(artwork=Artwork(rings=RING), width=width, height=height))
    x0, y0, x1, y1 = shape.bounds
    assert (x1 - x0) / (y1 - y0) == pytest.approx(2.0)
    assert min(width - (x1 - x0), height - (y1 - y0)) == pytest.approx(0.0, abs=1e-9)
    assert (x0 + x1, y0 + y1) == pytest.approx((0.0, 0.0), abs=1e-9)
    assert shape.area == pytest.approx(0.75 * (x1 - x0) * (y1 - y0))


def svg(body: str) -> str:
    """An element in letters: {kind attributes} for each, so that no tag stands in a text here."""
    inner = re.sub(r"\{(\w+) ([^{}]*)\}", lambda m: f"{chr(60)}{m[1]} {m[2]}/{chr(62)}", body)
    inner = inner.replace("[g ", chr(60) + "g ").replace("]", chr(62)).replace("[/g", chr(60) + "/g")
    return f'{chr(60)}svg xmlns="{PAGE}" viewBox="0 0 10 10"{chr(62)}{inner}{chr(60)}/svg{chr(62)}'


def read(body: str, folder: Path) -> Artwork:
    path = folder / "art.svg"
    path.write_text(svg(body), encoding="utf-8")
    return artwork_from_svg(path)


@pytest.mark.parametrize(
    "body",
    [
        '{path d="M1 1H9V4H1Z M2 2V3H8V2Z"}',
        '{path fill-rule="evenodd" d="M1 1H9V4H1Z M2 2H8V3H2Z"}',
        '{path d="M1 1H9V4H1Z M2 2H8V3H2Z"}',
        '{circle cx="5" cy="5" r="4"}{circle cx="5" cy="5" r="3" fill="#fff"}{rect x="4" y="4" width="2" height="2"}',
        '{rect x="1" y="1" width="5" height="5"}{rect x="3" y="3" width="6" height="4"}',
        '[g transform="translate(3 3) rotate(30) scale(.5)" fill="#123"]{path d="M1 1C9 1 9 8 1 8"}[/g]',
        '[g fill="none"]{rect x="1" y="1" width="8" height="8"}[/g]{rect x="2" y="3" width="4" height="1"}',
        '{path d="M5 1L8 9L1 4H9L2 9Z"}',
        '{path fill-rule="evenodd" d="M5 1L8 9L1 4H9L2 9Z"}',
    ],
)
def test_a_drawing_is_what_another_program_draws(body: str, tmp_path: Path) -> None:
    """Ink by resvg, on a page with a white ground, against the region."""
    region = read(body, tmp_path).region
    per_unit = 80
    png = resvg_py.svg_to_bytes(svg_string=svg(body), width=10 * per_unit)
    rgba = np.asarray(Image.open(io.BytesIO(bytes(png))).convert("RGBA")) / 255.0
    ink = (1 - rgba[..., 1]) * rgba[..., 3] / (1 - rgba[..., 1][rgba[..., 3] > 0.99].min())
    row, column = np.nonzero(ink > 0.5)
    size = max(np.ptp(row), np.ptp(column)) + 1
    x0, y0, x1, y1 = region.bounds
    assert max(x1 - x0, y1 - y0) <= 1000.0 + 1e-6
    longer = max(x1 - x0, y1 - y0) / size
    places = np.stack([(column - column.min() + 0.5) * longer + x0, y1 - (row - row.min() + 0.5) * longer], axis=1)
    assert shapely.contains_xy(region.buffer(4 * longer), places).all()
    assert ink.sum() * longer**2 == pytest.approx(region.area, rel=0.02)


@pytest.mark.parametrize(
    ("body", "told"),
    [
        ("", "fills nothing"),
        ('{path d="M0 0L1 0"}', "fills nothing"),
        ('{text x="1"}', "has text"),
        ('{image href="a.png"}', "picture of pixels"),
        ('{circle r="3" stroke="black"}', "border"),
        ('{circle id="sun" r="3" fill="url(#a)"}', "gradient"),
        ('{circle r="3" opacity="0.5"}', "half seen through"),
        ('{circle r="3" style="clip-path:url(#a)"}', "clipped"),
        ('{path d="M0 0Q"}', "art.svg"),
    ],
)
def test_what_is_no_outline_is_refused(body: str, told: str, tmp_path: Path) -> None:
    with pytest.raises(UnreadableFileError, match=re.escape(told)):
        read(body, tmp_path)


def test_the_template_shows_the_lines_of_a_mark_and_the_words_of_another() -> None:
    drawn = list(zone_marks(bar(zone("B", side="left"))))
    assert not any(isinstance(item, Label) for item in drawn)
    rings = [item for item in drawn if isinstance(item, Line)]
    assert len(rings) == 1 + 3
    border = shapely.union_all([shapely.LineString(item.curve.pieces[:, 0]) for item in rings[1:]])
    assert shapely.hausdorff_distance(border, mark_region(zone("B", side="left")).boundary) < 0.5
    assert any(isinstance(item, Label) for item in zone_marks(bar(zone(made=None))))


def test_report_and_its_text_tell_how_a_mark_is_made() -> None:
    design = Design(bar(zone("BO", depth=0.1)))
    content = report(design)
    (row,) = content["zones"]
    found = mark_numbers(zone("BO", depth=0.1))
    assert (row["made"], row["line"], row["gap"], row["islands"]) == ("laser", found.line, found.gap, 3)
    # Source: density of 1084, 7.85 g/cm3, of carbon steels from memory.
    assert row["mass"] == pytest.approx(found.area * 0.1 * 7.85e-3, rel=0.01)
    assert json.dumps(row)
    assert f"laser, 0.10 mm (0.004 in) deep, lines of {found.line:.2f} mm" in as_text(content)


def test_the_step_tells_how_deep_and_from_which_file() -> None:
    step = next(step for step in route(bar(zone(depth=0.1))).operations if step.key == "mark")
    assert step.tasks[0].startswith("Laser-marked: 'DECK 1'")
    assert "deep" in step.tasks[0]
    assert "true file" in step.tasks[0]
    assert len(step.cautions) == 1
    assert "aser" in step.cautions[0]


@pytest.mark.parametrize(
    ("said", "made", "apart"),
    [
        ("engraved", "laser", True),
        ("laser engraved", "laser", False),
        ("etched through a stencil", "stencil", False),
        ("stamped", "electro-etch", True),
        ("electro-etched", "electro-etch", False),
        ("by the customer's friend", "laser", False),
        ("engraved", None, False),
    ],
)
def test_work_and_field_that_name_two_ways(said: str, made: Any, *, apart: bool) -> None:
    found = [finding.code for finding in route(bar(zone(made=made)), work=Work(mark=said)).findings]
    assert ("work-mark" in found) == apart


def test_svg_of_an_empty_drawing_is_a_page() -> None:
    mark = zone("包")
    assert mark_svg(mark_drawing(mark), width=5.0, height=2.0, told="nothing").startswith(b"\x3csvg")


def test_what_changes_of_a_mark_is_told_in_few_words() -> None:
    """And so is a drawing, whose places nobody would read."""
    drawn = zone(artwork=Artwork(rings=RING))
    moved = Artwork(rings=(RING[0], tuple((x + 0.1, y) for x, y in RING[1])))
    before = Design(bar(zone()))
    for new, told in (
        (zone(made="electro-etch", depth=0.1), ("way of making: laser becomes electro-etch", "depth")),
        (drawn, ("2 closed lines of 8 places",)),
    ):
        found = difference(before, Design(bar(new)))
        assert all(any(words in line for line in found) for words in told)
        assert all(len(line) < 120 for line in found)
    (line,) = (line for line in difference(Design(bar(drawn)), Design(bar(zone(artwork=moved)))) if "rings" in line)
    assert line.endswith("2 closed lines of 8 places becomes others")


def test_what_the_customer_agreed_to_knows_the_drawing_the_way_and_the_depth() -> None:
    agreed = Design(bar(zone(artwork=Artwork(rings=RING)))).agreeing(SIGNED)
    for new, told in (
        (zone(), "drawing"),
        (zone(artwork=Artwork(rings=RING[:1])), "2 closed lines of 8 places; now: 1 closed line of 4 places"),
        (zone(artwork=Artwork(rings=RING), made="electro-etch"), "how the mark is made laser"),
        (zone(artwork=Artwork(rings=RING), depth=0.2), "depth of the mark"),
    ):
        compared = dataclasses.replace(Design(bar(new)), agreed=agreed).agreement
        assert isinstance(compared, Compared)
        (only,) = compared.differences
        assert told in only.words
        assert only.is_seen
        assert len(only.words) < 160
