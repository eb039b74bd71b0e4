"""A picture of a knife: true in outline and scale, with what is declared in its place, and the same every time."""

from __future__ import annotations

import io
import struct
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import get_args

import any_knives
import fastened
import numpy as np
import numpy.typing as npt
import pytest
import shapely
from draws import draws
from hypothesis import given, reject
from hypothesis import strategies as st
from orders import order
from PIL import Image

from bladegeom import (
    Design,
    Finish,
    Knife,
    MarkZone,
    Painting,
    Requirement,
    Scales,
    TextureZone,
    Work,
    mesh,
    picture,
)
from bladegeom.cli import main
from bladegeom.grinding.grind_line import grind_line
from bladegeom.grinding.zones import box_of, placed_zones
from bladegeom.knife.grind import STAGES, Flank, Stage
from bladegeom.order.order_ways import FinishPlace
from bladegeom.pictures.layout import STANDS_FOR
from bladegeom.pictures.painting import painting
from bladegeom.pictures.view import VIEWS, View, axes_of
from bladegeom.quantities.appearances import appearance_of, colour_of
from bladegeom.quantities.errors import BladegeomError, ParameterError, UnknownNameError
from bladegeom.quantities.materials import material

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
NAMES = ("rigging_knife", "galley_petty", "galley_chef", "kindling_knife", "traced_knife")

Pixels = npt.NDArray[np.uint8]


@cache
def example(name: str) -> Design:
    return Design.from_script(EXAMPLES / f"{name}.py")


@cache
def bare(name: str, view: View = "right") -> Painting:
    return painting([example(name)], view, width=800, bare=True)


def places_of(made: Painting) -> npt.NDArray[np.float64]:
    """Middle of each pixel in the plane z = 0, seen from the right or the left, mm, shape (rows, columns, 2)."""
    rows, columns, _ = made.pixels.shape
    across, down = np.meshgrid(np.arange(columns) + 0.5, np.arange(rows) + 0.5)
    seen = np.stack([across, down, np.zeros_like(across)], axis=-1).reshape(-1, 3)
    places: npt.NDArray[np.float64] = made.cameras[0].places(seen)[:, :2].reshape(rows, columns, 2)
    return places


def brightness(made: Painting, x: npt.NDArray[np.float64], y: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    column, row = np.floor(made.at(np.stack([x, y, np.zeros_like(x)], axis=1))).astype(int).T
    return np.asarray(made.pixels[row, column].astype(float).mean(axis=1))


@pytest.mark.parametrize("view", ["right", "left"])
@pytest.mark.parametrize("name", NAMES)
def test_its_silhouette_is_the_outline(name: str, view: View) -> None:
    made, knife = bare(name, view), example(name).knife
    x, y = places_of(made).reshape(-1, 2).T
    drawn = (made.pixels < 250).any(axis=2).ravel()
    open_to_the_eye = shapely.union_all([shapely.Point(f.x, f.y).buffer(8) for f in knife.fasteners])
    pixel, outline = made.mm_per_pixel, knife.outline.polygon
    inside = shapely.contains_xy(outline.buffer(-pixel).difference(open_to_the_eye), x, y)
    outside = ~shapely.contains_xy(outline.buffer(pixel), x, y)
    assert drawn[inside].all()
    assert not drawn[outside].any()
    assert inside.sum() > 10_000


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("name", NAMES)
def test_it_is_as_large_as_the_mesh(name: str, view: View) -> None:
    made = bare(name, view)
    drawn = np.argwhere((made.pixels < 250).any(axis=2))
    seen = np.concatenate([part.mesh.vertices for part in mesh(example(name)).parts])
    column, row = made.at(seen).T
    low, high = drawn.min(axis=0), drawn.max(axis=0) + 1
    # A tip or a corner thinner than half a pixel may cover less than can be told from white.
    assert low == pytest.approx([row.min(), column.min()], abs=3)
    assert high == pytest.approx([row.max(), column.max()], abs=3)


@pytest.mark.parametrize("view", ["right", "spine"])
def test_the_file_says_its_scale(view: View) -> None:
    made = picture(example("galley_petty"), view, width=1000)
    data = made.png()
    at = data.index(b"pHYs")
    across, down, unit = struct.unpack(">IIB", data[at + 4 : at + 13])
    assert (across, unit) == (down, 1)
    x0, _, x1, _ = example("galley_petty").knife.outline.bounds
    (tip, _), (butt, _) = made.at([(x1, 0, 0), (x0, 0, 0)])
    assert (tip - butt) / across * 1000 == pytest.approx(x1 - x0, rel=1e-12)


def test_a_reader_sees_the_same_pixels_and_the_words() -> None:
    made = picture(example("galley_petty"), width=600)
    with Image.open(io.BytesIO(made.png())) as image:
        assert (np.asarray(image) == made.pixels).all()
        assert image.info["dpi"][0] == pytest.approx(25.4 / made.mm_per_pixel, rel=1e-3)
        assert image.info["Title"] == example("galley_petty").title
        assert image.info["Description"] == STANDS_FOR == "Colours and grain stand for the material."


def test_the_coarse_file_is_smaller_and_nearly_the_same() -> None:
    made = bare("rigging_knife")
    with Image.open(io.BytesIO(made.coarse_png)) as image:
        assert np.abs(np.asarray(image).astype(int) - made.pixels).max() <= 2
    assert len(made.coarse_png) < 0.7 * len(made.png())


def test_the_same_design_gives_the_same_bytes() -> None:
    fresh = (Design.from_script(EXAMPLES / "rigging_knife.py") for _ in range(2))
    first, again = (picture(design, "three-quarter", width=500).png() for design in fresh)
    assert first == again


@pytest.mark.parametrize(("name", "below"), [("rigging_knife", 1.5), ("kindling_knife", 8.0), ("traced_knife", 1.5)])
def test_flat_and_bevel_part_in_light(name: str, below: float) -> None:
    made, knife = bare(name), example(name).knife
    line = np.concatenate(grind_line(knife, "finished", "right"))
    x0, x1 = line[:, 0].min(), line[:, 0].max()
    x = np.linspace(x0 + 0.3 * (x1 - x0), x0 + 0.6 * (x1 - x0), 40)
    y = np.interp(x, *line[np.argsort(line[:, 0])].T)
    if texture := [zone for zone in knife.zones if isinstance(zone, TextureZone)]:
        assert texture[0].margin > 1.2
    assert brightness(made, x, y + 1.0).mean() > 1.08 * brightness(made, x, y - below).mean()


def test_the_plunge_shows() -> None:
    made, knife = bare("kindling_knife"), example("kindling_knife").knife
    (x, y), (_, top) = knife.plunge_line.start, knife.plunge_line.end
    rows = np.linspace(y + 3.0, y + 0.35 * (top - y), 20)
    behind, hollow = (brightness(made, np.full(20, at), rows).mean() for at in (x - 1.5, x + 6.0))
    assert behind > 1.15 * hollow


def changed_places(name: str, view: View, **changes: object) -> npt.NDArray[np.float64]:
    """Where a picture differs when the knife does, mm, shape (n, 2).

    Other triangles round a texture let scratches run by a hair another way: a few of 256 levels do not count.
    """
    design = example(name)
    other = Design(replace(design.knife, **changes), order=design.order, work=design.work)  # type: ignore[arg-type]
    plain = Design(design.knife, order=design.order, work=design.work)
    first, second = (painting([each], view, width=1600, bare=True) for each in (plain, other))
    differs = np.abs(first.pixels.astype(int) - second.pixels).max(axis=2) > 16
    return np.asarray(places_of(first)[differs])


@cache
def marked(side: Flank | None, view: View) -> Painting:
    """The rigging knife with its mark alone on a side, or without any."""
    knife = example("rigging_knife").knife
    zones = tuple(replace(zone, side=side) for zone in knife.zones if isinstance(zone, MarkZone) and side is not None)
    return painting([Design(replace(knife, zones=zones))], view, width=1600, bare=True)


def mark_seen(side: Flank, view: View) -> tuple[Painting, npt.NDArray[np.bool_]]:
    """A picture with the mark on a side, and where it differs from the same knife without."""
    made = marked(side, view)
    return made, (made.pixels != marked(None, view).pixels).any(axis=2)


@pytest.mark.parametrize("side", ["right", "left"])
@pytest.mark.parametrize("view", ["right", "left"])
def test_a_mark_stands_in_its_field_on_its_face_alone(side: Flank, view: View) -> None:
    made, differs = mark_seen(side, view)
    field = next(zone for zone in example("rigging_knife").knife.zones if isinstance(zone, MarkZone))
    assert shapely.contains_xy(box_of(field), *places_of(made)[differs].T).all()
    assert (differs.sum() > 150) == (view == side)


def test_a_mark_is_read_from_its_own_face() -> None:
    field = next(zone for zone in example("rigging_knife").knife.zones if isinstance(zone, MarkZone))
    letters = []
    for side in get_args(Flank):
        made, differs = mark_seen(side, side)
        ((column, row),) = np.round(made.at([(field.x, field.y, 0.0)])).astype(int)
        letters.append(differs[row - 12 : row + 12, column - 34 : column + 34])
    right, left = letters
    assert (right & left).sum() > 0.6 * (right | left).sum()
    assert (right & left[:, ::-1]).sum() < 0.5 * (right | left[:, ::-1]).sum()


def test_a_texture_stays_in_its_zone() -> None:
    knife = example("rigging_knife").knife
    region = next(each.region for each in placed_zones(knife) if isinstance(each.zone, TextureZone))
    marks = tuple(zone for zone in knife.zones if isinstance(zone, MarkZone))
    places = changed_places("rigging_knife", "right", zones=marks)
    assert shapely.contains_xy(region.buffer(0.3), *places.T).all()
    assert len(places) > 1500


@pytest.mark.parametrize("view", ["right", "left"])
@pytest.mark.parametrize("name", ["galley_petty", "galley_chef", "traced_knife"])
def test_each_pin_is_seen_at_its_place(name: str, view: View) -> None:
    made, knife = bare(name, view), example(name).knife
    metal, scale = (np.array(colour_of(mesh(knife)[part].material)) for part in ("pin 1", "right scale"))
    for fastener in knife.fasteners:
        for at, like, unlike in ((fastener.x, metal, scale), (fastener.x - 5.0, scale, metal)):
            ((column, row),) = np.floor(made.at([(at, fastener.y, 0.0)])).astype(int)
            seen = made.pixels[row - 1 : row + 2, column - 1 : column + 2].mean(axis=(0, 1))
            assert np.abs(seen - like).sum() < np.abs(seen - unlike).sum()


@pytest.mark.parametrize("slab", ["Olea europaea", "Astronium sp.", "Acer saccharum"])
def test_most_of_a_wood_is_of_its_own_colour_and_its_lines_of_the_other(slab: str) -> None:
    """On a flat face, which shows colours as they are: next to the wood's own, and off it towards the grain's."""
    knife = fastened.bar(scales=Scales(slab=slab, thickness=8.0))
    look = appearance_of(material(slab))
    made = painting([Design(knife)], width=1200, bare=True)
    columns, rows = made.at([(-90.0, -5.0, 8.0), (-10.0, -25.0, 8.0)]).astype(int).T
    seen = made.pixels[rows[0] : rows[1], columns[0] : columns[1]].reshape(-1, 3).astype(float)
    own, lines = np.array(look.colour, float), np.array(look.grain_colour, float)
    # Along the way from the one colour to the other, 0 to 1.
    share = (seen - own) @ (lines - own) / ((lines - own) @ (lines - own))
    assert np.median(share) < 0.4
    assert np.percentile(share, 97) > 0.5


@pytest.mark.parametrize("stage", ["blank", "rough"])
def test_marks_and_textures_are_not_there_before_the_knife_is_finished(stage: Stage) -> None:
    design = example("rigging_knife")
    plain = Design(replace(design.knife, zones=()))
    worked, bare_steel = (painting([each], width=700, stage=stage, bare=True) for each in (design, plain))
    assert (worked.pixels == bare_steel.pixels).all()


def test_each_letter_of_a_mark_is_as_dark_in_a_small_picture_as_in_a_large_one() -> None:
    design = example("galley_petty")
    (mark,) = (zone for zone in design.knife.zones if isinstance(zone, MarkZone))
    plain = Design(replace(design.knife, zones=()), order=design.order, work=design.work, steps=design.steps)

    def ink(mm_per_pixel: float) -> npt.NDArray[np.float64]:
        """What the mark takes of the light, along the mark in ten steps."""
        made, without = (painting([each], mm_per_pixel=mm_per_pixel, bare=True) for each in (design, plain))
        lost = np.clip(without.pixels.astype(float) - made.pixels, 0, None).sum(axis=2)
        columns = np.arange(lost.shape[1]) + 0.5 - made.at([(mark.x, mark.y, 0.0)])[0, 0]
        at = columns * mm_per_pixel / mark.width
        near = np.abs(at) < 0.5
        bins = ((at[near] + 0.5) * 10).astype(int)
        return np.asarray(np.bincount(bins, lost.sum(axis=0)[near], minlength=10) * mm_per_pixel**2)

    small, large = ink(0.15), ink(0.06)
    # 0.96; with letters sampled at the middles of pixels 0.85.
    assert np.corrcoef(small, large)[0, 1] > 0.93


def test_the_handle_is_on_when_the_edge_is_sharpened() -> None:
    made = {stage: painting([example("galley_petty")], mm_per_pixel=0.5, stage=stage) for stage in STAGES}
    # Within the handle: wood is brown, steel is grey.
    brown = {}
    for stage, each in made.items():
        column, row = each.at([(-70.0, -6.0, 0.0)]).astype(int)[0]
        brown[stage] = int(np.ptp(each.pixels[row, column].astype(int))) > 20
    assert brown == {"blank": False, "rough": False, "finished": True, "sharp": True}


def test_the_sharpened_edge_gleams() -> None:
    design = example("kindling_knife")
    heel = design.knife.outline.heel
    x = np.linspace(heel[0] + 30.0, heel[0] + 90.0, 60)
    edge = design.knife.outline.edge_line(0.01).vertices
    y = np.interp(x, edge[:, 0], edge[:, 1]) + 0.35
    dull, sharp = (
        brightness(painting([design], width=2400, stage=stage, bare=True), x, y).mean()
        for stage in ("finished", "sharp")
    )
    assert sharp > 1.15 * dull


def test_the_blank_is_plain_steel() -> None:
    made = painting([example("galley_petty")], width=500, stage="blank", bare=True)
    drawn = made.pixels[(made.pixels < 250).any(axis=2)].astype(int)
    # Grey: no wood, no brass.
    assert np.percentile(np.ptp(drawn, axis=1), 99) < 20


def test_what_is_etched_is_darker() -> None:
    knife = example("kindling_knife").knife
    x, y = np.linspace(30.0, 120.0, 50), np.full(50, -8.0)
    light = [
        brightness(painting([Design(knife, work=Work(etch=etch))], width=800, bare=True), x, y).mean()
        for etch in ("", "ferric chloride", "coffee, a dark patina", "blackened")
    ]
    assert light == sorted(light, reverse=True)
    assert light[-1] < 0.55 * light[0]


@pytest.mark.parametrize(
    ("text", "place", "is_dark"),
    [
        ("a dark blade", "blade", (True, False)),
        ("etched on the blade only", None, (True, False)),
        ("etched all over", "blade and tang", (True, True)),
        ("a dark tang, so that only the edge shines", "tang", (False, True)),
        ("etched dark", None, (True, True)),
    ],
)
def test_an_etch_darkens_the_parts_that_the_order_names(
    text: str, place: FinishPlace | None, is_dark: tuple[bool, bool]
) -> None:
    knife = fastened.bar(scales=None)
    etched = Requirement(
        number=1, text=text, concerns="surface", met=Finish(operation="etch", finish="dark patina", place=place)
    )
    plain = Requirement(
        number=1, text="as it comes", concerns="surface", met=Finish(operation="surface", finish="satin")
    )
    light = []
    for wish in (plain, etched):
        made = painting([Design(knife, order=order(requirements=(wish,)))], width=800, bare=True)
        light.append([brightness(made, x, np.full(40, -5.0)).mean() for x in (ON_THE_BLADE, ON_THE_TANG)])
    assert tuple(bool(dark < 0.8 * bright) for bright, dark in zip(*light, strict=True)) == is_dark


ON_THE_BLADE, ON_THE_TANG = np.linspace(30.0, 120.0, 40), np.linspace(-90.0, -10.0, 40)


def test_lengthwise_finish_turns_the_scratches() -> None:
    knife = example("kindling_knife").knife
    grey = [
        painting([Design(knife, work=Work(finish=finish))], width=1600, bare=True).pixels.mean(axis=2)
        for finish in ("", "satin, lengthwise")
    ]
    made = painting([Design(knife)], width=1600, bare=True)
    ((column, row),) = np.floor(made.at([(60.0, -28.0, 0.0)])).astype(int)
    across, along = (each[row - 20 : row + 20, column - 150 : column + 150] for each in grey)
    # Scratches across vary from column to column, scratches along from row to row.
    assert np.diff(across, axis=1).std() > 1.5 * np.diff(across, axis=0).std()
    assert np.diff(along, axis=0).std() > 1.5 * np.diff(along, axis=1).std()


def test_two_lie_under_each_other_at_one_scale() -> None:
    first, second = example("galley_chef"), example("galley_petty")
    made = picture(first, beside=second, width=900)
    for number, design in enumerate((first, second)):
        x0, _, x1, _ = design.knife.outline.bounds
        (left, high), (right, _) = made.at([(x0, 0, 0), (x1, 0, 0)], number)
        assert (right - left) * made.mm_per_pixel == pytest.approx(x1 - x0)
        assert 0 < high < made.pixels.shape[0]
    assert made.at([(0, 0, 0)], 1)[0, 1] > made.at([(0, -60, 0)], 0)[0, 1]
    assert made.title == f"{first.title}; {second.title}"


@pytest.mark.parametrize("breadth", [75.0, 95.0])
def test_a_hand_is_as_broad_as_it_is_told(breadth: float) -> None:
    design = example("galley_petty")
    plain, held = (painting([design], mm_per_pixel=0.25, hand=hand) for hand in (None, breadth))
    # The row through the knuckles, above the handle and below the clefts of the fingers, right to left.
    ((_, row),) = held.at([(0.0, 7.0, 0.0)]).astype(int)
    ((front, _),) = held.at([(0.0, 0.0, 0.0)]).astype(int)
    warm = held.pixels[row, :front].astype(int)
    hand = np.flatnonzero(warm[:, 0] - warm[:, 2] > 8)
    assert (hand.max() - hand.min()) * 0.25 == pytest.approx(breadth, rel=0.06)
    assert plain.pixels.shape[0] < held.pixels.shape[0]


@draws(4, long=300)
@given(st.data())
def test_any_knife_can_be_shown(data: st.DataObject) -> None:
    try:
        knife = data.draw(any_knives.knives())
        mesh(knife)
    except BladegeomError:
        reject()
    made = painting([Design(knife)], data.draw(st.sampled_from(VIEWS)), width=320)
    assert made.pixels.shape[1] == 320
    assert 10 < made.pixels.mean() < 250


def test_views_are_turned_and_not_mirrored() -> None:
    for view in VIEWS:
        axes = axes_of(view)
        assert axes @ axes.T == pytest.approx(np.eye(3))
        assert np.linalg.det(axes) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("asked", "name"),
    [
        ({"width": 100}, "picture: width"),
        ({"width": 9000}, "picture: width"),
        ({"hand": -1.0}, "picture: hand"),
        ({"hand": 300.0}, "picture: hand"),
    ],
)
def test_what_is_no_picture_is_refused(asked: dict[str, object], name: str, knife: Knife) -> None:
    with pytest.raises(ParameterError) as refused:
        picture(knife, **asked)  # type: ignore[arg-type]
    assert refused.value.name == name


@pytest.fixture
def knife() -> Knife:
    return example("galley_petty").knife


def test_a_slip_in_a_name_is_told(knife: Knife) -> None:
    with pytest.raises(UnknownNameError, match="'spine'"):
        picture(knife, "spline")  # type: ignore[arg-type]
    with pytest.raises(ParameterError, match="right or left"):
        picture(knife, "spine", hand=80.0)


def test_the_command_writes_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    script, out = EXAMPLES / "galley_petty.py", tmp_path / "seen.png"
    assert main(["picture", str(script), "--view", "spine", "--width", "400", "--out", str(out)]) == 0
    assert capsys.readouterr().out.split() == [str(out)]
    with Image.open(out) as image:
        assert image.width == 400
    beside = ["--beside", str(EXAMPLES / "galley_chef.py"), "--hand", "3-1/2 in", "--width", "320", "--out", str(out)]
    assert main(["picture", str(script), *beside, "blade_length=140"]) == 0
    capsys.readouterr()
    assert main(["picture", str(script), "--view", "spin", "--out", str(out)]) == 2
    assert main(["picture", str(script), "--out", str(tmp_path / "seen.jpg")]) == 2
    assert "ends with .png" in capsys.readouterr().err
