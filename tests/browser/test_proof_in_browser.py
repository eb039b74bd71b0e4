"""The proof in a browser: true to size on paper, switched without a script, no wider than a phone, alone."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import chromium
import numpy as np
import proofs
import pypdfium2
import pytest
import raster
from PIL import Image

from bladegeom.curves.build import line
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import CUT_PEN, Drawing, Sheet
from bladegeom.drawing.drawing import Path as Line
from bladegeom.knife.knife import Knife
from bladegeom.pictures.painting import painting
from bladegeom.sheets.proof import side_view

pytestmark = [pytest.mark.long, pytest.mark.skipif(chromium.FOUND is None, reason="no Chromium on this machine")]

LENGTHS = (100.0, 101.6)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("proofs")


def saved(folder: Path, make: Callable[[], Knife]) -> Path:
    path = folder / f"{make.__name__}.html"
    path.write_text(proofs.page(make), encoding="utf-8")
    return path


def longest_run(row: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]) -> tuple[int, int]:
    """Start and length of the longest run of ink in a row of pixels."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], row.astype(np.int8), [0]])))
    sizes = edges[1::2] - edges[::2]
    best = int(sizes.argmax())
    return int(edges[2 * best]), int(sizes[best])


def found_bars(picture: Image.Image) -> Sheet:
    """A sheet with the bars where the picture has them: level lines about as long as they should be."""
    ink = np.asarray(picture.convert("L")) < 128
    dark = np.flatnonzero(ink.sum(axis=1) * raster.PIXEL > 99.0).tolist()
    runs = {i: longest_run(ink[i]) for i in dark}
    height = picture.height * raster.PIXEL
    items = []
    for wanted in LENGTHS:
        rows = {i: start for i, (start, size) in runs.items() if abs(size * raster.PIXEL - wanted) < 0.5}
        assert 2 <= len(rows) <= 8, f"{len(rows)} rows of pixels are {wanted} mm long"
        x, y = np.mean(list(rows.values())) * raster.PIXEL, height - (np.mean(list(rows)) + 0.5) * raster.PIXEL
        bar = line((float(x), float(y)), (float(x) + wanted, float(y)))
        items.append(Line(layer="NOTE", curve=bar, pen=CUT_PEN))
    return Sheet(width=picture.width * raster.PIXEL, height=height, drawing=Drawing(name="", items=tuple(items)))


@pytest.mark.parametrize(
    ("make", "number", "paper"), [(proofs.good, 1, (279.4, 215.9)), (proofs.long, 1, (420, 279.4))]
)
def test_printed_bars_are_true(
    folder: Path, make: Callable[[], Knife], number: int, paper: tuple[float, float]
) -> None:
    document = pypdfium2.PdfDocument(chromium.printed(saved(folder, make)))
    page = document[number]
    # The browser rounds a page's sides to whole points or pixels: 0.36 mm at most.
    assert [side / 72 * 25.4 for side in page.get_size()] == pytest.approx(paper, abs=0.36)
    picture = page.render(scale=raster.DPI / 72).to_pil()
    found = list(raster.measured(picture, found_bars(picture)))
    assert [wanted for wanted, _ in found] == list(LENGTHS)
    for wanted, got in found:
        assert got == pytest.approx(wanted, abs=raster.PIXEL / 2)


def test_every_printed_page_says_that_an_error_stands(folder: Path) -> None:
    document = pypdfium2.PdfDocument(chromium.printed(saved(folder, proofs.bad)))
    assert len(document) > 3
    for page in document:
        assert "NOT RELEASED, errors stand:" in page.get_textpage().get_text_range()


def test_each_switch_hides_its_layer_and_shows_it_again(folder: Path) -> None:
    script = """
        const seen = one => one.getClientRects().length > 0;
        const state = () => Object.fromEntries([...document.querySelectorAll("#side-view > g[class]")].map(
            one => [one.getAttribute("class"), seen(one.querySelector("path, circle"))]));
        const out = [["", state()]];
        for (const box of document.querySelectorAll("input[type=checkbox]")) {
            box.click();
            out.push([box.id, state()]);
            box.click();
        }
        out.push(["", state()]);
        return JSON.stringify(out);
    """
    states = json.loads(chromium.asked(saved(folder, proofs.good), script))
    keys = [layer.key for layer in side_view(proofs.good())] + ["findings"]
    assert {key for key, _ in states[1:-1]} == {f"show-{key}" for key in keys}
    assert set(states[0][1]) == {f"layer-{key}" for key in keys}
    for switched, state in states:
        # The comb is hidden until it is asked for.
        hidden = {"layer-comb"} ^ ({switched.replace("show-", "layer-")} if switched else set())
        assert {name for name, seen in state.items() if not seen} == hidden


def test_a_phone_scrolls_the_drawings_and_nothing_else(folder: Path) -> None:
    script = """
        const boxes = [...document.querySelectorAll(".scroll")];
        const outside = [...document.body.querySelectorAll("*")].filter(
            one => !boxes.some(box => box.contains(one)) && one.getBoundingClientRect().right > 360.5);
        const width = () => document.querySelector("#side-view").getBoundingClientRect().width;
        const widths = ["fit", "true", "double"].map(key => {
            document.getElementById("size-" + key).click();
            return width();
        });
        return JSON.stringify({wide: document.documentElement.scrollWidth, outside: outside.map(one => one.tagName),
            attribute: +document.querySelector("#side-view").getAttribute("width"), widths});
    """
    for make in (proofs.good, proofs.bad, proofs.long):
        told = json.loads(chromium.asked(saved(folder, make), script))
        assert told["wide"] <= 360
        assert told["outside"] == []
        fit, true, double = told["widths"]
        assert fit < 360 < true == told["attribute"]
        assert double == 2 * true


def test_it_asks_for_nothing_and_obeys_no_name(folder: Path) -> None:
    script = """
        return JSON.stringify({asked: window.performance.getEntriesByType("resource").length,
            scripts: document.scripts.length, title: document.querySelector("h1").textContent,
            policy: document.querySelectorAll("meta[http-equiv]").length});
    """
    told = json.loads(chromium.asked(saved(folder, proofs.bad), script))
    title = proofs.NASTY.replace("\ud800", " ").replace("\x00", " ")
    assert told == {"asked": 0, "scripts": 0, "title": title, "policy": 1}


def test_marks_and_places_can_be_touched_and_lead_to_each_other(folder: Path) -> None:
    script = """
        const under = one => {
            one.scrollIntoView({block: "center"});
            const box = one.getBoundingClientRect();
            const link = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2)?.closest("a");
            const href = link?.getAttribute("href") ?? "";
            return [href, href != "" && document.querySelector(href) != null, window.getComputedStyle(link).cursor];
        };
        return JSON.stringify([under(document.querySelector("#mark-1 text")),
            under(document.querySelector("#finding-1 .held a .q"))]);
    """
    told = json.loads(chromium.asked(saved(folder, proofs.bad), script))
    assert told == [["#finding-1", True, "pointer"], ["#mark-1", True, "pointer"]]


def test_the_knife_in_light_is_shown(folder: Path) -> None:
    script = """
        const image = document.querySelector("#light img"), held = document.createElement("canvas");
        [held.width, held.height] = [image.naturalWidth, image.naturalHeight];
        const pen = held.getContext("2d");
        pen.drawImage(image, 0, 0);
        const at = (x, y) => [...pen.getImageData(x, y, 1, 1).data];
        return JSON.stringify({width: image.naturalWidth, told: +image.getAttribute("width"),
            corner: at(0, 0), middle: at(held.width >> 1, held.height >> 1)});
    """
    told = json.loads(chromium.asked(saved(folder, proofs.good), script))
    assert told["width"] == told["told"] == 1000
    assert told["corner"] == [255, 255, 255, 255]
    made = painting([Design(proofs.good())], width=1000, bare=True)
    rows, columns, _ = made.pixels.shape
    assert told["middle"][:3] == pytest.approx(made.pixels[rows // 2, columns // 2].tolist(), abs=2)
