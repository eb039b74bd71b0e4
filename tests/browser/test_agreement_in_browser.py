"""The page that a customer signs in a browser: its pictures show, no wider than a phone, alone, printed as it is."""

from __future__ import annotations

import json
from pathlib import Path

import chromium
import pypdfium2
import pytest
from test_agreement_page import open_page, petty_page, plain

from bladegeom import AgreementPage

pytestmark = [pytest.mark.long, pytest.mark.skipif(chromium.FOUND is None, reason="no Chromium on this machine")]

PAGES = {"open": open_page, "petty": petty_page}


@pytest.fixture(scope="module", params=PAGES)
def saved(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[AgreementPage, Path]:
    page = PAGES[request.param]()
    (path,) = page.save(tmp_path_factory.mktemp("agreements") / f"{request.param}.html")
    return page, path


def test_a_phone_shows_all_of_it(saved: tuple[AgreementPage, Path]) -> None:
    page, path = saved
    script = """
        const outside = [...document.body.querySelectorAll("*")].filter(
            one => one.getBoundingClientRect().right > 360.5 && !one.closest("svg"));
        return JSON.stringify({wide: document.documentElement.scrollWidth, outside: outside.map(one => one.tagName),
            pictures: document.querySelectorAll("figure svg image").length,
            boxes: document.querySelectorAll("#questions input").length,
            asked: window.performance.getEntriesByType("resource").filter(one => !one.name.startsWith("data:")).length,
            scripts: document.scripts.length});
    """
    told = json.loads(chromium.asked(path, script))
    assert told["wide"] <= 360
    assert told["outside"] == []
    assert told["pictures"] == len(page.views)
    assert told["boxes"] == sum(len(question.choices) for question in page.said.questions)
    assert (told["asked"], told["scripts"]) == (0, 0)


def test_it_prints_with_its_pictures(saved: tuple[AgreementPage, Path]) -> None:
    page, path = saved
    document = pypdfium2.PdfDocument(chromium.printed(path))
    images = [each for sheet in document for each in sheet.get_objects(filter=[pypdfium2.raw.FPDF_PAGEOBJ_IMAGE])]
    assert len(images) == len(page.views)
    # The policy of the page lets them through: where it did not, they would be white.
    assert all(image.get_bitmap().to_pil().convert("L").getextrema()[0] < 100 for image in images)
    assert document[0].get_width() < document[0].get_height()
    text = plain(" ".join(sheet.get_textpage().get_text_range() for sheet in document))
    for item in page.said.items:
        assert plain(item.words) in text
