"""The care card and the heat treater's page: what they say of each knife, and that they are legible."""

from __future__ import annotations

import dataclasses
from functools import cache
from pathlib import Path

import pytest
import specimens
from draws import draws, quick
from hypothesis import Phase, given
from hypothesis import strategies as st
from orders import asked, knife, order
from read_back import read_pages, require_clear_page
from specimens import drop_point

from bladegeom import Material, Order, Work
from bladegeom.agreement.care_words import care_blocks, never_lines
from bladegeom.book.care_pages import care_pages
from bladegeom.book.traveller import heat_treater_page
from bladegeom.design.design import Design
from bladegeom.knife.knife import Knife
from bladegeom.knife.scales import Scales
from bladegeom.knife.stock import Stock
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.materials import MATERIAL_KINDS, materials
from bladegeom.quantities.papers import paper
from bladegeom.settings.settings import Settings
from bladegeom.writers.pdf import pdf_of_sheets

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
NAMES = quick(["rigging_knife", "galley_petty", "galley_chef", "kindling_knife", "traced_knife"], "galley_petty")
PAGES = {"care": care_pages, "heat treater": heat_treater_page}
LEAST_PT = 9.0

LONG = st.one_of(
    st.integers(1, 300).map(lambda count: "W" * count),
    st.text(alphabet="ΑΒγδέώЖЩийŘřőÅåđ ", min_size=1, max_size=200).map(lambda text: f"ή{text}"),
)


@cache
def example(name: str, units: str) -> Design:
    return Design.from_script(EXAMPLES / f"{name}.py", settings=Settings(units="inch" if units == "inch" else "mm"))


def of_steel(steel: str | Material) -> Knife:
    return dataclasses.replace(drop_point(), stock=Stock(steel=steel, thickness=3.0))


def said(made: Knife, ordered: Order | None = None) -> str:
    return " ".join(line for block in care_blocks(made, ordered, None) for line in (block.title, *block.lines))


@pytest.mark.parametrize("kind", PAGES)
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(("size", "units"), [("A4", "mm"), ("Letter", "inch")])
def test_it_is_one_legible_page(kind: str, name: str, size: str, units: str) -> None:
    made = example(name, units)
    with made.settings.in_force():
        sheets = PAGES[kind](made, [paper(size)], remarks=("NOT RELEASED",))
    (page,) = read_pages(pdf_of_sheets(sheets))
    require_clear_page(page)
    assert page.least_pt >= LEAST_PT
    assert "NOT RELEASED" in page.words
    assert page.height > page.width
    assert "ALONG" not in page.words


@draws(10, phases=[Phase.generate])
@given(LONG, LONG, LONG)
def test_long_names_and_foreign_letters_go_on_or_are_refused(name: str, sharpening: str, maker: str) -> None:
    ordered = dataclasses.replace(order(asked()), sharpening=sharpening)
    made = Design(dataclasses.replace(knife(), name=name), order=ordered, settings=Settings(maker=maker))
    try:
        sheets = [sheet for draw in PAGES.values() for sheet in draw(made, [paper("A4")])]
    except ExportError:
        # Only a name that takes too much of a page is refused.
        assert len(name) > 100
        return
    for page in read_pages(pdf_of_sheets(tuple(sheets))):
        require_clear_page(page)


def test_a_text_that_no_page_holds_is_refused() -> None:
    ordered = dataclasses.replace(order(asked()), sharpening="stone " * 2000)
    with pytest.raises(ExportError, match="longer than a page"):
        care_pages(Design(knife(), order=ordered), [paper("A4")])


def test_a_steel_is_cared_for_by_what_it_consists_of() -> None:
    own = dataclasses.replace(of_steel("1084").stock.material, name="shop steel", composition=(), also=())
    steels: dict[str, str | Material] = {"own": own, "1084": "1084", "D2": "D2"}
    words = {name: said(of_steel(steel)) for name, steel in steels.items()}
    assert "not stainless: left wet it rusts within minutes" in words["1084"]
    assert "not quite stainless" in words["D2"]
    assert "not known here" in words["own"]
    stainless = said(of_steel("1.4116"))
    assert "resists rust and is not proof" in stainless
    assert "not stainless" not in stainless
    assert "does not rust" in said(of_steel("Ti-6Al-4V"))


@pytest.mark.parametrize("kind", sorted(set(MATERIAL_KINDS)))
def test_a_handle_of_any_kind_has_its_care(kind: str) -> None:
    for of in materials():
        if of.kind == kind:
            made = dataclasses.replace(drop_point(), scales=Scales(slab=of, thickness=8.0))
            (block,) = (block for block in care_blocks(made, None, None) if block.title.startswith("The handle"))
            assert block.lines


def test_what_was_ordered_is_not_forbidden() -> None:
    plain = dataclasses.replace(order(asked()), use=("food", "slicing"))
    hard = dataclasses.replace(plain, use=("batoning", "prying"))
    assert "Blows on the spine." in never_lines(plain)
    assert not {"Blows on the spine.", "Prying, levering, opening tins, turning screws."} & set(never_lines(hard))
    assert any("unless its maker told you" in line for line in never_lines(None))
    # Oil that is safe with food is named where the knife touches food, and where nobody has told what it does.
    assert "safe with food" in said(of_steel("1084"), plain)
    assert "safe with food" not in said(of_steel("1084"), hard)
    assert "safe with food" in said(of_steel("1084"))


def test_an_allergy_is_answered() -> None:
    ordered = dataclasses.replace(order(asked()), allergies=("nickel",))
    assert "nothing in this knife is known to hold it" in said(of_steel("1084"), ordered)
    assert "it is held by 15N20" in said(of_steel("15N20"), ordered)


def test_nothing_of_the_shop_reaches_the_customer() -> None:
    made = example("galley_petty", "mm")
    (page,) = read_pages(pdf_of_sheets(care_pages(made, [paper("A4")])))
    for inside in ("confidence", "common practice", "kiln", "EUR", "requirement", "F1", "drill"):
        assert inside not in page.words
    assert "13 degrees" in page.words
    assert "150 mm 5-29/32 in" in page.words


def test_over_a_short_tang_no_word_of_the_picture_stands_over_another() -> None:
    short = specimens.ground(specimens.bar_outline(blade=300.0, tang=40.0), steel="1.4116")
    for page in read_pages(pdf_of_sheets(heat_treater_page(Design(short), [paper("A4")]))):
        require_clear_page(page)


def test_the_heat_treater_is_told_stage_hardness_and_number() -> None:
    petty, chef = example("galley_petty", "mm"), Design(of_steel("1084"), work=Work(hardness=(60.0, 61.0)))
    (page,) = read_pages(pdf_of_sheets(heat_treater_page(petty, [paper("A4")])))
    low, high = petty.route.settled.hardness or (0.0, 0.0)
    assert f"{low:g} to {high:g} HRC" in page.words
    assert "blade 2: butt" in page.words
    assert "Not ground" in page.words
    (page,) = read_pages(pdf_of_sheets(heat_treater_page(chef, [paper("A4")])))
    assert "60 to 61 HRC" in page.words
    rough = chef.knife.grind.rough_edge
    assert ("Bevels ground" in page.words) == (rough is not None)


def test_a_metal_that_is_not_hardened_goes_to_no_heat_treater() -> None:
    with pytest.raises(ExportError, match="which is not hardened"):
        heat_treater_page(Design(of_steel("Ti-6Al-4V")), [paper("A4")])
