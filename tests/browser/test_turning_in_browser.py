"""The page to turn a knife in, in a browser that draws in software: what it shows, cuts and measures."""

from __future__ import annotations

import io
import re
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import chromium
import numpy as np
import numpy.typing as npt
import pytest
import shapely
from boxes import HIGH, LOW, SLAB, design_of_boxes, stages_of_boxes
from driven import PATIENCE, Page, browser
from PIL import Image

from bladegeom.commands.turning_page import turning_page
from bladegeom.design.design import Design
from bladegeom.grinding.thickness import thickness
from bladegeom.grinding.zones import placed_zones
from bladegeom.knife.grind import STAGES, Stage
from bladegeom.knife.zone import TextureZone
from bladegeom.pictures.painting import painting
from bladegeom.writers.turning_page import turning_html

pytestmark = [pytest.mark.long, pytest.mark.skipif(chromium.FOUND is None, reason="no Chromium on this machine")]

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"

READY = "document.body.dataset.ready !== undefined && document.querySelector('#canvas').dataset.drawn"

Mask = npt.NDArray[np.bool_]


@pytest.fixture(scope="module")
def chrome() -> Iterator[Page]:
    with browser(*chromium.IN_SPACE) as page:
        yield page


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("turned")


@pytest.fixture(scope="module")
def boxes(folder: Path) -> Path:
    """The page of a knife of boxes, whose every distance is known."""
    path = folder / "boxes.html"
    path.write_bytes(turning_html(design_of_boxes(), stages_of_boxes(), customer=False))
    return path


@pytest.fixture(scope="module")
def rigging(folder: Path) -> Path:
    """The page of an example."""
    path = folder / "rigging.html"
    (content,) = turning_page(Design.from_script(EXAMPLES / "rigging_knife.py")).values()
    path.write_bytes(content)
    return path


def opened(page: Page, path: Path, width: int = 1280, height: int = 800, *, dark: bool = False) -> Page:
    page.complaints.clear()
    page.window(width, height, dark=dark)
    page.open(path.as_uri())
    page.wait(READY)
    page.wait("document.querySelector('#canvas').width > 300")
    return page


@pytest.fixture
def page(chrome: Page, boxes: Path) -> Iterator[Page]:
    yield opened(chrome, boxes)
    assert complaints(chrome) == []


def complaints(page: Page) -> list[str]:
    """What the page complains of; that pictures of the screen are slow is the drawing in software."""
    return [words for words in page.complaints if "GPU stall due to ReadPixels" not in words]


def drawn(page: Page, do: Callable[[], object]) -> None:
    """Do something, and wait until it is drawn."""
    before = int(page.ask("Number(document.querySelector('#canvas').dataset.drawn)"))
    do()
    page.wait(f"Number(document.querySelector('#canvas').dataset.drawn) > {before}")


def slide(page: Page, name: str, value: float) -> None:
    """Move a slider to a value."""
    script = f"(s => {{ s.value = {value}; s.dispatchEvent(new Event('input')); }})(document.querySelector('#{name}'))"
    drawn(page, lambda: page.ask(script))


def tick(page: Page, name: str) -> None:
    page.ask(f"document.querySelector('#{name}').click()")


def view(page: Page, name: str) -> None:
    page.ask(f"document.querySelector('button[data-view={name}]').click()")
    page.wait(f"document.querySelector('#canvas').dataset.lies === '{name}'")
    # As it lies now it is drawn once more: the slider is where it was.
    slide(page, "apart", float(page.ask("Number(document.querySelector('#apart').value)")))


def canvas_picture(page: Page) -> npt.NDArray[np.int16]:
    box = page.ask("(b => [b.x, b.y, b.width, b.height])(document.querySelector('#canvas').getBoundingClientRect())")
    x, y, width, height = map(round, box)
    picture = np.asarray(Image.open(io.BytesIO(page.screenshot())).convert("RGB"), dtype=np.int16)
    return picture[y : y + height, x : x + width]


def silhouette(page: Page) -> Mask:
    """Pixels on which the knife is drawn: those that change when its parts are hidden; marks and lines left out."""
    over = "['over', 'lines'].forEach(name => document.getElementById(name).style.visibility = '{}')"
    boxes = "document.querySelectorAll('#parts input').forEach(box => box.click())"
    page.ask(over.format("hidden"))
    shown = canvas_picture(page)
    drawn(page, lambda: page.ask(boxes))
    empty = canvas_picture(page)
    drawn(page, lambda: page.ask(boxes))
    page.ask(over.format(""))
    return np.asarray(np.abs(shown - empty).max(axis=2) > 6)


def extent(mask: Mask) -> tuple[int, int, int, int]:
    """First column, first row, columns and rows of what is drawn."""
    rows, columns = (np.flatnonzero(mask.any(axis=axis)) for axis in (1, 0))
    return int(columns[0]), int(rows[0]), int(columns[-1] - columns[0] + 1), int(rows[-1] - rows[0] + 1)


def tap(page: Page, x: float, y: float) -> None:
    """Press and release at a place of the canvas."""
    left, top = page.ask("(b => [b.x, b.y])(document.querySelector('#canvas').getBoundingClientRect())")
    for kind in ("mousePressed", "mouseReleased"):
        page.do("Input.dispatchMouseEvent", type=kind, x=left + x, y=top + y, button="left", clickCount=1)


def mm_of(words: str) -> float:
    """Of a length in both units the mm."""
    (mm,) = re.findall(r"(-?[\d.]+) mm", words)
    return float(mm)


def mm_in(page: Page, name: str) -> float:
    return mm_of(page.text(f"#{name}"))


def test_the_knife_is_drawn_and_nothing_is_asked_of_any_network(page: Page) -> None:
    assert silhouette(page).mean() > 0.02
    assert page.ask("performance.getEntriesByType('resource').length") == 0
    # Even where the page's own script would ask, the policy refuses.
    assert page.ask("fetch('https://example.org/').then(() => 'fetched', () => 'refused')") == "refused"
    page.complaints.clear()


@pytest.mark.parametrize(
    ("name", "wide", "high"),
    [
        ("right", HIGH[0] - LOW[0], HIGH[1] - LOW[1]),
        ("left", HIGH[0] - LOW[0], HIGH[1] - LOW[1]),
        ("spine", HIGH[0] - LOW[0], 2 * (HIGH[2] + SLAB)),
        ("edge", HIGH[0] - LOW[0], 2 * (HIGH[2] + SLAB)),
    ],
)
def test_each_view_shows_the_knife_in_its_proportions(page: Page, name: str, wide: float, high: float) -> None:
    view(page, name)
    _, _, across, up = extent(silhouette(page))
    # A long lens still shows what is nearer a little larger: the slabs, by their 10 mm of some 800.
    assert across / up == pytest.approx(wide / high, rel=0.06)


def test_left_and_right_are_not_mixed_up(page: Page) -> None:
    for name in ("spine", "edge"):
        view(page, name)
        mask = silhouette(page)
        x, _, across, _ = extent(mask)
        # The handle, which is thick, lies to the left, the tip to the right.
        assert mask[:, x + across // 6].sum() > mask[:, x + 5 * across // 6].sum()
    drawn(page, lambda: page.ask("document.querySelectorAll('#parts input')[1].click()"))
    # Without its right scale the bare steel is seen from the right, and walnut from the left.
    red = {}
    for name, part in (("right", 6), ("left", -6)):
        view(page, name)
        picture = canvas_picture(page)
        x, y, across, up = extent(silhouette(page))
        column = x + across // part if part > 0 else x + across + across // part
        seen = picture[y + up // 3, column]
        red[name] = int(seen[0]) - int(seen[2])
    assert red["left"] > red["right"] + 25


def test_silhouette_is_that_of_the_outline(chrome: Page, rigging: Path) -> None:
    page = opened(chrome, rigging)
    view(page, "right")
    mask = silhouette(page)
    _, _, across, up = extent(mask)
    outline = Design.from_script(EXAMPLES / "rigging_knife.py").knife.outline.polygon
    x0, y0, x1, y1 = outline.bounds
    assert across / up == pytest.approx((x1 - x0) / (y1 - y0), rel=0.02)
    assert mask.sum() / (across * up) == pytest.approx(outline.area / ((x1 - x0) * (y1 - y0)), rel=0.03)
    assert complaints(page) == []


def test_the_slider_goes_through_the_stages(page: Page) -> None:
    view(page, "spine")
    heights = []
    for number, name in enumerate(STAGES):
        slide(page, "stage-slider", number)
        assert page.text("#stage-words") == name
        heights.append(extent(silhouette(page))[3])
    # The handle comes with the finished steel.
    assert heights[0] > heights[1]
    assert heights[2] == heights[3] > 4 * heights[1]
    assert page.ask("[...document.querySelectorAll('#parts .absent')].length") == 0
    slide(page, "stage-slider", 0)
    assert page.ask("[...document.querySelectorAll('#parts .absent')].length") == 3


def test_parts_move_apart_along_z(page: Page) -> None:
    view(page, "spine")
    _, _, across, together = extent(silhouette(page))
    slide(page, "apart", 100)
    mask = silhouette(page)
    rows = mask[:, mask.any(axis=0)].any(axis=1)
    groups = int(np.diff(rows.astype(int), prepend=0).clip(0).sum())
    # Left scale, steel, right scale, and the rod drawn out of them.
    assert groups == 4
    assert extent(mask)[3] > 2 * together
    assert extent(mask)[2] == pytest.approx(across, rel=0.1)


def test_a_cut_tells_the_thickness_of_what_it_cuts(page: Page) -> None:
    drawn(page, lambda: tick(page, "cut-on"))
    for x, steel, whole in ((100.0, 4.0, None), (-20.0, 4.0, 4.0 + 2 * SLAB)):
        slide(page, "cut-x", x)
        slide_height(page, -15.0)
        assert mm_in(page, "cut-steel") == pytest.approx(steel, abs=0.006)
        assert mm_in(page, "cut-thickest") == pytest.approx(steel, abs=0.006)
        assert page.ask("document.querySelector('#cut-whole-row').hidden") is (whole is None)
        if whole is not None:
            assert mm_in(page, "cut-whole") == pytest.approx(whole, abs=0.006)
    # The rod is cut too, filled, and told as its own part.
    slide(page, "cut-x", -47.0)
    assert page.ask("document.querySelectorAll('#cut-picture path').length") == 4


def slide_height(page: Page, y: float) -> None:
    page.ask(f"(s => {{ s.value = {y}; s.dispatchEvent(new Event('input')); }})(document.querySelector('#cut-height'))")


def test_the_cut_is_filled(page: Page) -> None:
    drawn(page, lambda: tick(page, "cut-on"))
    slide(page, "cut-x", 100.0)
    picture = canvas_picture(page)
    # Its colour is of no other thing on the page: red, and not shaded.
    red = (np.abs(picture - np.array([194, 87, 58])).max(axis=2) < 30).sum()
    drawn(page, lambda: tick(page, "cut-on"))
    picture = canvas_picture(page)
    assert red > 150
    assert (np.abs(picture - np.array([194, 87, 58])).max(axis=2) < 30).sum() < red / 10


@pytest.mark.parametrize("stage", STAGES)
def test_a_cut_reads_what_the_laws_say(chrome: Page, rigging: Path, stage: Stage) -> None:
    page = opened(chrome, rigging)
    knife = Design.from_script(EXAMPLES / "rigging_knife.py").knife
    slide(page, "stage-slider", STAGES.index(stage))
    drawn(page, lambda: tick(page, "cut-on"))
    openings = shapely.union_all([shapely.Point(h.x, h.y).buffer(h.diameter / 2 + 0.3) for h in knife.openings])
    read = [page.ask(READ % (x, part)) for x in X_READ for part in (0.12, 0.35, 0.6, 0.85)]
    places = np.array([[x, y] for x, y, _ in read])
    laws = thickness(knife, stage, *places.T)
    clear = ~shapely.contains_xy(openings, places)
    if stage in ("finished", "sharp"):
        for placed in placed_zones(knife):
            if isinstance(placed.zone, TextureZone):
                zone, inside = placed.zone, shapely.contains_xy(placed.region, places)
                # Grooves are shown as a floor at their mean depth, on each face that carries them.
                laws -= inside * zone.depth * zone.share * zone.mean_depth * len(zone.flanks)
                clear &= shapely.distance(placed.region.boundary, shapely.points(places)) > 0.3
    assert clear.sum() > 20
    told = np.array([mm_of(words) for (_, _, words), is_clear in zip(read, clear, strict=True) if is_clear])
    # Twice the mesh's tolerance, a step of its places, and half of the last digit shown.
    np.testing.assert_allclose(told, laws[clear], rtol=0, atol=0.04 + 0.002 + 0.005)
    assert complaints(page) == []


X_READ = (-88.3, -41.7, 12.1, 24.9, 47.3, 66.6, 83.2, 98.4)

READ = """(() => {
    const put = (name, value) => {
        const slider = document.getElementById(name);
        slider.value = value;
        slider.dispatchEvent(new Event("input"));
        return slider;
    };
    const x = put("cut-x", %f), height = document.getElementById("cut-height");
    put("cut-height", Number(height.min) + %f * (height.max - height.min));
    return [Number(x.value), Number(height.value), document.getElementById("cut-steel").textContent];
})()"""
"""Puts both sliders, the second at a part of its way, and reads where they stand and how thick the steel is."""


def test_two_corners_have_the_distance_that_they_have(page: Page) -> None:
    view(page, "right")
    drawn(page, lambda: page.ask("document.querySelectorAll('#parts input')[1].click()"))
    tick(page, "measure-on")
    x, y, across, up = extent(silhouette(page))
    tap(page, x + 2, y + 2)
    assert page.text("#measure-next") == "Tap point B on the knife."
    drawn(page, lambda: tap(page, x + across - 3, y + up - 3))
    told = [mm_in(page, f"measure-{name}") for name in ("distance", "x", "y", "z")]
    assert told == pytest.approx([float(np.hypot(300.0, 30.0)), 300.0, -30.0, 0.0], abs=0.006)
    # The parts may lie apart: what is measured is the knife.
    slide(page, "apart", 100)
    assert mm_in(page, "measure-distance") == pytest.approx(told[0], abs=0.006)
    page.click("#measure-clear")
    assert page.ask("document.querySelector('#measured').hidden") is True


def test_a_drag_turns_the_knife_and_so_does_a_finger(page: Page) -> None:
    view(page, "right")
    level = extent(silhouette(page))[3]
    page.drag("#canvas", 200.0)
    assert extent(silhouette(page))[2] < 0.6 * extent_in(page, "right")[2]
    view(page, "right")
    x, y = page.middle("#canvas")
    drawn(page, lambda: touch(page, [[(x, y)], [(x, y + 50)], [(x, y + 100)]]))
    assert extent(silhouette(page))[3] != level


def extent_in(page: Page, name: str) -> tuple[int, int, int, int]:
    view(page, name)
    return extent(silhouette(page))


def touch(page: Page, path: list[list[tuple[float, float]]]) -> None:
    """Fingers come down, move, and are lifted."""
    page.do("Emulation.setTouchEmulationEnabled", enabled=True, maxTouchPoints=2)
    for i, fingers in enumerate(path):
        points = [{"x": x, "y": y, "id": k} for k, (x, y) in enumerate(fingers)]
        page.do("Input.dispatchTouchEvent", type="touchMove" if i else "touchStart", touchPoints=points)
    page.do("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[])
    page.do("Emulation.setTouchEmulationEnabled", enabled=False)


def test_two_fingers_bring_it_nearer_and_move_it(page: Page) -> None:
    before = extent_in(page, "right")
    x, y = page.middle("#canvas")
    drawn(
        page, lambda: touch(page, [[(x - 80, y), (x + 80, y)], [(x - 70, y), (x + 70, y)], [(x - 60, y), (x + 60, y)]])
    )
    after = extent(silhouette(page))
    assert after[2] == pytest.approx(before[2] * 60 / 80, rel=0.03)
    drawn(page, lambda: touch(page, [[(x - 50, y), (x + 50, y)], [(x - 50, y + 40), (x + 50, y + 40)]]))
    assert extent(silhouette(page))[1] == pytest.approx(after[1] + 40, abs=4)


def test_keys_turn_it_and_bring_it_nearer(page: Page) -> None:
    before = extent_in(page, "right")
    page.ask("document.querySelector('#canvas').focus()")
    for _ in range(8):
        drawn(page, lambda: page.key("ArrowRight"))
    # 40 degrees about the upright.
    assert extent(silhouette(page))[2] == pytest.approx(before[2] * np.cos(np.radians(40)), rel=0.12)
    drawn(page, lambda: page.key("Home"))
    page.wait("document.querySelector('#canvas').dataset.lies === 'three-quarter'")
    size = extent(silhouette(page))[2]
    drawn(page, lambda: page.key("-"))
    assert extent(silhouette(page))[2] == pytest.approx(size / 1.12, rel=0.02)


def test_a_part_can_be_hidden(page: Page) -> None:
    whole = extent_in(page, "spine")[3]
    for number in (1, 2, 3):
        page.ask(f"document.querySelectorAll('#parts input')[{number}].click()")
    picture = canvas_picture(page)
    drawn(page, lambda: page.ask("document.querySelectorAll('#parts input')[0].click()"))
    bare = np.abs(picture - canvas_picture(page)).max(axis=2) > 6
    assert extent(bare)[3] < whole / 2


def test_findings_stand_where_they_are_and_are_shown_from_the_list(chrome: Page, rigging: Path) -> None:
    page = opened(chrome, rigging)
    view(page, "right")
    marks = page.ask("document.querySelectorAll('#over .mark').length")
    design = Design.from_script(EXAMPLES / "rigging_knife.py")
    assert marks == len([finding for finding in design.findings if finding.x is not None]) > 0
    assert page.ask("document.querySelectorAll('#findings li').length") == len(design.findings)
    page.ask("document.querySelector('#findings button').click()")
    assert page.ask("document.querySelector('#over .mark[aria-pressed=true]') !== null") is True
    # The balance point is 35 mm behind the front, and so are its pixels by the length of the knife.
    x, _, across, _ = extent(silhouette(page))
    x0, _, x1, _ = design.knife.outline.bounds
    left = "document.querySelector('{}').getBoundingClientRect().x"
    seen = page.ask(f"{left.format('.balance')} - {left.format('#canvas')}")
    wanted = x + across * (design.weighing.balance_from_front - x0) / (x1 - x0)
    assert seen == pytest.approx(wanted, abs=0.01 * across)


def test_all_that_can_be_done_is_reached_by_the_tab_key_and_has_a_name(page: Page) -> None:
    for name in ("cut-on", "measure-on"):
        tick(page, name)
    page.ask("document.body.tabIndex = -1, document.body.focus()")
    wanted = page.ask(
        "[...document.querySelectorAll('input,button,[tabindex=\"0\"]')].filter(e => e.getClientRects().length).length"
    )
    reached = []
    for _ in range(wanted + 3):
        page.key("Tab")
        reached.append(page.ask(f"({FOCUSED})(document.activeElement)"))
    named = [words for words in reached if not words.startswith("|")]
    assert len(set(named)) >= wanted
    assert [words for words in named if not words.endswith("|seen")] == []


FOCUSED = """e => {
    if (e === document.body) return "|";
    const shown = [e, e.querySelector("i")].some(part => part && getComputedStyle(part).outlineStyle !== "none");
    return (e.ariaLabel || e.labels?.[0]?.innerText || e.innerText) + (shown ? "|seen" : "|not seen");
}"""
"""What the focus is on, by the name that is read out, and whether it is seen to be there."""


@pytest.mark.parametrize("dark", [False, True])
def test_a_phone_is_wide_enough(chrome: Page, boxes: Path, dark: bool) -> None:  # noqa: FBT001
    page = opened(chrome, boxes, 390, 844, dark=dark)
    for name in ("cut-on", "measure-on"):
        tick(page, name)
    assert page.ask("document.documentElement.scrollWidth") == 390
    wide = "[...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > 391)"
    assert page.ask(f"{wide}.map(e => e.outerHTML.slice(0, 80))") == []
    assert silhouette(page).mean() > 0.01
    assert complaints(page) == []


def test_without_webgl_the_page_says_so(boxes: Path) -> None:
    with browser("--disable-3d-apis") as page:
        page.window(1280, 800)
        page.open(boxes.as_uri())
        page.wait("!document.querySelector('#refused').hidden")
        assert "WebGL is missing or switched off" in page.text("#refused")


def test_the_drawing_rests_when_nothing_changes(page: Page) -> None:
    end = time.monotonic() + PATIENCE
    counts = [0, 1]
    while counts[-1] != counts[-2] and time.monotonic() < end:
        time.sleep(0.5)
        counts.append(int(page.ask("Number(document.querySelector('#canvas').dataset.drawn)")))
    assert counts[-1] == counts[-2]


def means(drawn_there: Mask, picture: npt.NDArray[Any]) -> dict[str, npt.NDArray[np.float64]]:
    """Mean colours of the handle, and of the upper and lower third of the blade, by the knife's own breadth there."""
    columns = np.flatnonzero(drawn_there.any(axis=0))
    out: dict[str, list[npt.NDArray[Any]]] = {"handle": [], "upper": [], "lower": []}
    for column in columns.tolist():
        share = (column - columns[0]) / np.ptp(columns)
        rows = np.flatnonzero(drawn_there[:, column])
        third = len(rows) // 3
        if 0.08 < share < 0.35:
            out["handle"].append(picture[rows[third : 2 * third], column])
        elif 0.6 < share < 0.9:
            out["upper"].append(picture[rows[2:third], column])
            out["lower"].append(picture[rows[2 * third : -2], column])
    return {name: np.concatenate(seen).mean(axis=0) for name, seen in out.items()}


@pytest.mark.parametrize("name", ["rigging_knife", "kindling_knife", "galley_chef"])
def test_it_is_as_light_as_the_picture(chrome: Page, folder: Path, name: str) -> None:
    """Scratches, marks and textures are the picture's alone, and grains differ: means of the same stretches do not."""
    design = Design.from_script(EXAMPLES / f"{name}.py")
    path = folder / f"{name}.html"
    (content,) = turning_page(design).values()
    path.write_bytes(content)
    page = opened(chrome, path)
    view(page, "right")
    shown = means(silhouette(page), canvas_picture(page))
    pixels = painting([design], width=900, bare=True).pixels
    wanted = means(np.asarray((pixels < 250).any(axis=2)), pixels)
    for stretch, colour in wanted.items():
        assert shown[stretch] == pytest.approx(colour, abs=14.0 if stretch == "handle" else 8.0), stretch
    assert complaints(chrome) == []
