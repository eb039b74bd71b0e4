"""The page of a watch in a browser: saves, slides, typed lengths, mistakes, stations, two designs."""

from __future__ import annotations

import contextlib
import re
import shutil
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import chromium
import pytest
from driven import Page, browser
from watched import PROC, Watch, left_over, watching

from bladegeom.design.script import load_script

pytestmark = [pytest.mark.long, pytest.mark.skipif(chromium.FOUND is None, reason="no Chromium on this machine")]

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"

READY = "document.querySelector('#numbers td') && document.querySelectorAll('.station').length > 2"
OUTLINE = "document.querySelector('.drawing .steel').getAttribute('d')"

INCH = 25.4


@pytest.fixture(scope="module")
def chrome() -> Iterator[Page]:
    with browser() as page:
        yield page


@pytest.fixture
def script(tmp_path: Path) -> Path:
    path = tmp_path / "knife.py"
    shutil.copyfile(EXAMPLES / "rigging_knife.py", path)
    return path


@contextlib.contextmanager
def shown(page: Page, *arguments: str | Path, ready: str = READY) -> Iterator[Watch]:
    """A watch, and its page with all that belongs to it; nothing on it may have been complained of."""
    with watching(*arguments) as watch:
        page.complaints.clear()
        page.window(1280, 900)
        page.open(watch.address)
        page.wait(ready)
        try:
            yield watch
            assert page.complaints == []
        finally:
            # What is left open would go on asking.
            page.open("about:blank")


@pytest.fixture
def page(chrome: Page, script: Path) -> Iterator[Page]:
    """The page of the rigging knife."""
    with shown(chrome, script):
        yield chrome


def rewrite(path: Path, old: str, new: str) -> None:
    """Save the script with one thing changed."""
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")


def default(path: Path, name: str) -> Any:
    """Of a parameter of the design, as the script has it now."""
    return load_script(path).parameters[name].default


def drawn_length(page: Page) -> float:
    """From butt to tip as the picture shows it, mm."""
    return float(page.ask("document.querySelector('.drawing .steel').getBBox().width"))


def slide(page: Page, name: str, key: str, times: int = 1) -> None:
    """Move a slider by keys, as a hand on the keyboard does."""
    page.ask(f"document.querySelector('#p-{name}').closest('.parameter').querySelector('input[type=range]').focus()")
    for _ in range(times):
        page.key(key)


def moved(page: Page, words: str) -> None:
    page.wait(f"document.querySelector('#status').textContent.startsWith({words!r})")


def test_a_save_is_a_new_picture(page: Page, script: Path) -> None:
    before = drawn_length(page)
    at_first = default(script, "blade_length")
    rewrite(script, f"blade_length: float = {at_first}", f"blade_length: float = {at_first + 10}")
    page.wait(f"Math.abs(document.querySelector('.drawing .steel').getBBox().width - {before + 10}) < 0.02")
    page.wait("document.querySelector('#changes').textContent.includes('10.00 mm (0.394 in) more')")
    assert page.text("#changes-head") == "Changed since the save before"


def test_a_slide_is_a_new_picture_and_the_numbers_follow(page: Page) -> None:
    before = drawn_length(page)
    slide(page, "blade_length", "ArrowRight", times=3)
    moved(page, "1 value moved")
    value = float(page.ask("document.querySelector('#p-blade_length').value"))
    assert value > 105.0
    page.wait(f"Math.abs(document.querySelector('.drawing .steel').getBBox().width - {before + value - 105.0}) < 0.02")
    page.wait(f"document.querySelector('#numbers').textContent.includes('{223 + value - 105:.2f} mm')")
    assert page.text("#changes-head") == "Different from the script"


def test_a_slide_asks_for_its_newest_place_alone(page: Page) -> None:
    before = drawn_length(page)
    page.ask("""(slider => {
        for (let i = 1; i <= 40; i++) {
            slider.value = 105 + i / 2;
            slider.dispatchEvent(new Event("input"));
        }
    })(document.querySelector("#p-blade_length").closest(".parameter").querySelector("input[type=range]"))""")
    value = float(page.ask("document.querySelector('#p-blade_length').value"))
    assert value == pytest.approx(125.0, abs=1.0)
    page.wait(f"Math.abs(document.querySelector('.drawing .steel').getBBox().width - {before + value - 105.0}) < 0.02")
    # The first goes out at once; of the others the last one, when the first is answered.
    moves = "performance.getEntriesByType('resource').filter(entry => entry.name.endsWith('0/move')).length"
    assert page.ask(moves) == 2


def test_a_typed_length_is_read_as_the_shop_writes_it(page: Page) -> None:
    before = drawn_length(page)
    page.type_into("#p-blade_length", "4-3/4 in")
    moved(page, "1 value moved")
    assert drawn_length(page) - before == pytest.approx(4.75 * INCH - 105.0, abs=0.02)
    assert "120.65 mm (4-3/4 in)" in page.text("#panel")


def test_what_cannot_be_read_is_said_beside_its_box_and_the_picture_stays(page: Page) -> None:
    before = page.ask(OUTLINE)
    page.type_into("#p-blade_length", "four")
    page.wait("document.querySelector('#p-blade_length').getAttribute('aria-invalid') === 'true'")
    assert "must be" in page.text("#p-blade_length-refused")
    assert page.ask(OUTLINE) == before
    page.type_into("#p-blade_length", "106")
    moved(page, "1 value moved")
    assert page.ask("document.querySelector('#p-blade_length').getAttribute('aria-invalid')") == "false"


def test_one_is_reset_and_then_all(page: Page) -> None:
    before = page.ask(OUTLINE)
    page.type_into("#p-blade_length", "120")
    page.type_into("#p-thickness", "5")
    moved(page, "2 values moved")
    page.click("[aria-label='Reset blade length']")
    moved(page, "1 value moved")
    page.click("#reset-all")
    moved(page, "As saved")
    assert page.ask(OUTLINE) == before
    assert page.ask("document.querySelector('#p-blade_length').value") == "105"


def test_values_are_written_into_the_script_and_nothing_else_is(page: Page, script: Path) -> None:
    before = script.read_text(encoding="utf-8")
    page.type_into("#p-blade_length", "4-3/4 in")
    moved(page, "1 value moved")
    page.click("#write")
    moved(page, "As saved")
    page.wait("document.querySelector('#written').textContent.includes('blade_length')")
    assert default(script, "blade_length") == pytest.approx(4.75 * INCH)
    old, new = before.splitlines(), script.read_text(encoding="utf-8").splitlines()
    assert len(old) == len(new)
    assert [line for line in old if line not in new] == [line for line in old if "blade_length: float" in line]
    assert page.ask("document.querySelector('#write').disabled")


def test_a_mistake_shows_its_line_and_the_last_picture_stays_until_it_is_mended(page: Page, script: Path) -> None:
    before, good = page.ask(OUTLINE), script.read_text(encoding="utf-8")
    rewrite(script, "    return ", "    retrun ")
    page.wait("!document.querySelector('#fault').hidden")
    line = next(i for i, text in enumerate(script.read_text().splitlines(), start=1) if "retrun" in text)
    assert f"knife.py, line {line}:" in page.text("#fault")
    assert "retrun add_lightening_row" in page.text("#fault pre")
    assert page.ask(OUTLINE) == before
    assert page.ask("document.querySelector('.side').classList.contains('old')")
    assert "Picture of before the mistake" in page.text("#stage")
    # What else is of before looks so too.
    old = "[...document.querySelectorAll('#count, #cuts, .numbers, .told')].map(e => getComputedStyle(e).opacity)"
    assert page.ask(old) == ["0.5"] * 4
    script.write_text(good, encoding="utf-8")
    page.wait("document.querySelector('#fault').hidden")
    assert not page.ask("document.querySelector('.side').classList.contains('old')")
    assert page.ask(old) == ["1"] * 4
    # A mistake that shows only when the design is called.
    rewrite(script, "    return ", "    1 / 0\n    return ")
    page.wait("document.querySelector('#fault').textContent.includes('1 / 0')")


def test_what_is_turned_during_a_mistake_is_shown_and_counts_once_it_is_mended(page: Page, script: Path) -> None:
    before, good = drawn_length(page), script.read_text(encoding="utf-8")
    rewrite(script, "    return ", "    retrun ")
    page.wait("!document.querySelector('#fault').hidden")
    page.type_into("#p-blade_length", "115")
    page.type_into("#p-bevel_height", "18")
    page.wait("document.querySelectorAll('.parameter button:not([disabled])').length === 2")
    assert page.ask("document.querySelector('#p-blade_length').value") == "115"
    assert drawn_length(page) == before
    script.write_text(good, encoding="utf-8")
    moved(page, "2 values moved")
    assert drawn_length(page) - before == pytest.approx(10.0, abs=0.02)


def test_a_value_of_which_no_knife_comes_is_not_called_a_mistake_of_the_script(page: Page) -> None:
    page.type_into("#p-blade_length", "-5")
    page.wait("document.querySelector('#fault').textContent.includes('it must not be negative')")
    assert page.text("#status") == "No knife comes of this; the picture is of before."
    page.click("#reset-all")
    page.wait("document.querySelector('#fault').hidden")


EVERY_KIND = """
from typing import Literal

from bladegeom import FlatBevel, Grind, Knife, Plunge, Stock, join_halves
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.swelled import Swelled


def design(
    blade_length: float = 110.0,
    bar: Literal["thin", "thick"] = "thin",
    long: bool = False,
    inches: int = 0,
    name: str = "Kinds",
    bevel: tuple[float, float] = (17.0, 0.4),
) -> Knife:
    outline = join_halves(DropPoint(blade_length=blade_length + 10 * long + 25.4 * inches), Swelled())
    return Knife(
        name=name,
        outline=outline,
        stock=Stock(steel="1.4116", thickness={"thin": 3.0, "thick": 4.0}[bar]),
        grind=Grind(bevel=FlatBevel(height=bevel[0], edge_thickness=bevel[1]), plunge=Plunge(x=outline.heel[0])),
    )
"""


def test_every_kind_of_parameter_has_its_control(chrome: Page, script: Path) -> None:
    script.write_text(EVERY_KIND, encoding="utf-8")
    with shown(chrome, script):
        before = drawn_length(chrome)
        kinds = chrome.ask("[...document.querySelectorAll('.parameter')].map(row => row.className.split(' ')[1])")
        assert kinds == ["length", "choice", "yes_no", "whole", "text", "fixed"]
        chrome.click("#p-long")
        moved(chrome, "1 value moved")
        assert drawn_length(chrome) - before == pytest.approx(10.0, abs=0.02)
        chrome.ask("document.querySelector('#p-bar').focus()")
        chrome.key("ArrowDown")
        chrome.wait("document.querySelector('#numbers').textContent.includes('4.00 mm')")
        slide(chrome, "inches", "ArrowRight")
        chrome.type_into("#p-name", "Said anew")
        chrome.wait("document.querySelector('#title').textContent.startsWith('Said anew')")
        assert drawn_length(chrome) - before == pytest.approx(10.0 + INCH, abs=0.02)
        assert "(17, 0.4)" in chrome.text("#p-bevel")


def test_a_page_that_begins_with_a_mistake_comes_right(chrome: Page, script: Path) -> None:
    good = script.read_text(encoding="utf-8")
    script.write_text("nothing = 1\n", encoding="utf-8")
    with shown(chrome, script, ready="!document.querySelector('#fault').hidden"):
        assert "defines no design()" in chrome.text("#fault")
        script.write_text(good, encoding="utf-8")
        chrome.wait(READY)
        assert chrome.ask("document.querySelector('#fault').hidden")


def test_what_a_script_says_is_shown_and_never_obeyed(chrome: Page, script: Path) -> None:
    sly = "<img src=x onerror=document.title=1><script>document.title=1</script>"
    rewrite(script, 'name="Rigging knife"', f'name="{sly}"')
    with shown(chrome, script):
        assert sly in chrome.text("#title")
        assert chrome.ask("document.images.length + document.querySelectorAll('body script').length") == 0
        assert chrome.ask("document.title").startswith("<img")


def test_a_station_is_drawn_by_the_pointer_and_moved_by_keys(page: Page) -> None:
    place = "Number(document.querySelectorAll('.station')[4].getAttribute('aria-valuenow'))"
    said = "document.querySelectorAll('.station')[4].getAttribute('aria-valuetext')"
    section = "document.querySelectorAll('.station-sections')[4].querySelector('svg path').getAttribute('d')"
    before, words, shape = page.ask(place), page.ask(said), page.ask(section)
    scale = page.ask(
        "document.querySelector('.drawing svg').viewBox.baseVal.width / document.querySelector('.drawing').clientWidth"
    )
    page.drag(".station:nth-of-type(5) .knob", 60.0)
    assert page.ask(place) == pytest.approx(before + 60 * scale, abs=0.6)
    page.wait(f"{section} !== {shape!r}")
    assert page.ask(said) != words
    assert re.search(r"\d mm", page.ask(said))
    for key, shift, far in (("ArrowLeft", False, -1), ("ArrowRight", True, 10), ("PageUp", False, 10)):
        there = page.ask(place)
        page.key(key, shift=shift)
        assert page.ask(place) == pytest.approx(there + far)
    page.key("Home")
    assert page.ask(place) == page.ask("Number(document.querySelectorAll('.station')[4].getAttribute('aria-valuemin'))")


def places_and_cuts(page: Page) -> list[list[float]]:
    """Where each station stands, and what the sections under its number say of where they are cut, mm."""
    told: list[list[float]] = page.ask(
        "[...document.querySelectorAll('.station')].map((station, i) => [Number(station.getAttribute('aria-valuenow')),"
        " ...[...document.querySelectorAll('.station-sections')[i].querySelectorAll('svg')].map(svg =>"
        " Number(/at x (.*) mm/.exec(svg.querySelector('title').textContent)[1]))])"
    )
    return told


@pytest.mark.parametrize("beside", [(), ("--beside", EXAMPLES / "galley_petty.py")])
def test_sections_are_of_the_places_where_their_numbers_stand(
    chrome: Page, script: Path, beside: tuple[str | Path, ...]
) -> None:
    with shown(chrome, script, *beside):
        for typed in ("105", "160", "90"):
            chrome.type_into("#p-blade_length", typed)
            chrome.wait(f"document.querySelector('#numbers').textContent.includes('{typed}.00 mm')")
            # The tip of either knife is no place to cut: sections stop short of it.
            for place, *cuts in places_and_cuts(chrome):
                assert cuts == pytest.approx([place] * (2 if beside else 1), abs=0.051)


def test_a_finding_with_a_place_is_pointed_to(page: Page) -> None:
    page.ask("document.querySelector('button.finding').focus()")
    page.key("Enter")
    assert page.ask("document.querySelectorAll('.pointer').length") == 1
    assert page.ask("document.querySelector('button.finding').getAttribute('aria-pressed')") == "true"
    page.key("Enter")
    assert page.ask("document.querySelectorAll('.pointer').length") == 0
    page.click(".mark")
    assert page.ask("document.activeElement.className") == "finding"


def test_all_that_can_be_done_is_reached_by_the_tab_key_and_has_a_name(page: Page) -> None:
    page.ask("document.body.tabIndex = -1, document.body.focus()")
    reached: list[str] = []
    wanted = page.ask(
        "[...document.querySelectorAll('input,button,select,[tabindex=\"0\"]')].filter(e => !e.disabled).length"
    )
    for _ in range(wanted + 3):
        page.key("Tab")
        reached.append(page.ask(f"({FOCUSED})(document.activeElement)"))
    named = [words for words in reached if not words.startswith("|")]
    assert len(set(named)) >= wanted
    assert [words for words in named if not words.endswith("|seen")] == []


FOCUSED = """e => {
    if (e === document.body) return "|";
    const shown = [e, e.querySelector(".knob")].some(part => part && getComputedStyle(part).outlineStyle !== "none");
    return (e.ariaLabel || e.labels?.[0]?.innerText || e.innerText) + (shown ? "|seen" : "|not seen");
}"""
"""What the focus is on, by the name that is read out, and whether it is seen to be there."""


@pytest.mark.parametrize("dark", [False, True])
def test_a_phone_is_wide_enough(page: Page, dark: bool) -> None:  # noqa: FBT001
    page.window(360, 740, dark=dark)
    assert page.ask("document.documentElement.scrollWidth") == 360
    wide = "[...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > 361)"
    assert page.ask(f"{wide}.map(e => e.outerHTML.slice(0, 80))") == []
    page.type_into("#p-blade_length", "120")
    moved(page, "1 value moved")
    assert page.ask(CONTRAST) >= 4.5


CONTRAST = """(() => {
    const numbers = colour => colour.match(/[\\d.]+/g).slice(0, 3).map(Number);
    const linear = c => c <= .03928 ? c / 12.92 : ((c + .055) / 1.055) ** 2.4;
    const light = colour => numbers(colour).map(c => linear(c / 255))
        .reduce((sum, c, i) => sum + c * [.2126, .7152, .0722][i], 0);
    const back = light(getComputedStyle(document.body).backgroundColor);
    const words = document.querySelectorAll('p, td, th, label, .shown, figcaption span, code, h1, h2');
    return Math.min(...[...words].map(e => {
        const ink = light(getComputedStyle(e).color);
        return (Math.max(ink, back) + .05) / (Math.min(ink, back) + .05);
    }));
})()"""
"""Least contrast of words with the page; source: WCAG 2.2, relative luminance and criterion 1.4.3, 4.5 to 1."""


def test_two_designs_have_one_scale_and_their_handle_fronts_in_line(chrome: Page, script: Path) -> None:
    with shown(chrome, script, "--beside", EXAMPLES / "galley_petty.py"):
        chrome.wait("document.querySelectorAll('.side svg.side').length === 2")
        views = chrome.ask(
            "[...document.querySelectorAll('svg.side')].map(s => (m => [m.a, m.d, m.e])(s.getScreenCTM()))"
        )
        # Across and along alike, and x = 0 at the same place.
        assert views[0][0] == pytest.approx(views[0][1], rel=1e-3)
        assert views[0] == pytest.approx(views[1], rel=1e-3)
        assert chrome.ask("document.querySelectorAll('#numbers thead th').length") == 2
        assert "262.00 mm" in chrome.text("#numbers")
        assert "223.00 mm" in chrome.text("#numbers")
        assert chrome.ask("document.querySelector('.station-sections').querySelectorAll('figure').length") == 2
        before = chrome.ask("document.querySelectorAll('.drawing .steel')[1].getAttribute('d')")
        page_moves = chrome.ask(OUTLINE)
        chrome.type_into("#p-blade_length", "120")
        moved(chrome, "1 value moved")
        assert chrome.ask(OUTLINE) != page_moves
        assert chrome.ask("document.querySelectorAll('.drawing .steel')[1].getAttribute('d')") == before


def test_the_page_says_when_the_watch_has_ended(chrome: Page, script: Path) -> None:
    with shown(chrome, script) as watch:
        watch.end()
        chrome.wait("document.querySelector('#status').textContent.includes('The watch has ended')")
        chrome.complaints.clear()


@pytest.mark.skipif(not PROC.is_dir(), reason="no /proc to measure processes by")
def test_two_hundred_saves_leave_nothing_behind(chrome: Page, script: Path) -> None:
    """Memory of the server and of the script's processes after 200 saves, against that after the first 40."""
    text = script.read_text(encoding="utf-8")
    with shown(chrome, script) as watch:
        processes, early, nodes = watch.processes(), 0.0, 0
        for i in range(1, 201):
            length = 100 + i % 40
            script.write_text(text.replace("blade_length: float = 105.0", f"blade_length: float = {length}.0"))
            chrome.wait(f"document.querySelector('#p-blade_length').value === '{length}'")
            if i == 40:
                judged(chrome, length)
                early, nodes = watch.memory(), elements(chrome)
        judged(chrome, length)
        assert watch.processes() == processes
        assert len(list((PROC / str(watch.process.pid) / "fd").iterdir())) < 40
        # Own choice: less than a tenth more, where one design that is kept takes several MB.
        assert watch.memory() < 1.1 * early
        assert elements(chrome) < 1.1 * nodes + 50
        watch.end()
        assert left_over(watch.process.pid) == []
        chrome.open("about:blank")
        chrome.complaints.clear()


def judged(page: Page, length: float) -> None:
    """Until numbers and findings have followed."""
    page.wait(f"document.querySelector('#numbers').textContent.includes('{length + 118:.2f} mm')")
    time.sleep(0.5)


def elements(page: Page) -> int:
    """Nodes that the page holds, those that nothing shows any more included where nobody let go of them."""
    page.do("HeapProfiler.collectGarbage")
    counted: dict[str, int] = page.do("Memory.getDOMCounters")
    return counted["nodes"]
