"""Settings of a shop: which value holds, where it comes from, what is refused, and that none of it leaks."""

from __future__ import annotations

import argparse
import os
import re
import sys
import threading
import tomllib
from dataclasses import replace
from operator import attrgetter
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from refusals import assert_tells, unknown
from specimens import drop_point
from test_cli import PLAIN

from bladegeom import (
    Design,
    Hole,
    HoleRules,
    Knife,
    Printer,
    Settings,
    Shop,
    check,
    drill,
    pages,
    read_settings,
    report,
    settings_words,
    starter_settings,
)
from bladegeom.cli import main
from bladegeom.cli.asked_settings import asked_settings
from bladegeom.commands.script_design import ScriptDesign
from bladegeom.commands.sweep import script_sweep
from bladegeom.design.report_settings import settings_report
from bladegeom.quantities.errors import BladegeomError, UnknownNameError
from bladegeom.quantities.file_errors import ScriptError, UnreadableFileError
from bladegeom.quantities.shown import room_to_buy
from bladegeom.quantities.units import show_length, show_range, show_size, show_units
from bladegeom.settings.keys import keys
from bladegeom.settings.settings import settings_in_force
from bladegeom.settings.settings_place import settings_path
from bladegeom.settings.toml_words import toml_words
from bladegeom.settings.value_words import plain_value
from bladegeom.writers.report_text import as_text

SPECIAL: dict[str, tuple[Any, Any, Any]] = {
    "paper": ("Letter", "A3", "Tabloid"),
    "units": ("inch", "mm", "inch"),
    "printer": ("99.6 x 100.2", "99.7 x 100.1", "99.8 x 100.3"),
    "hand_breadth": (90.0, 85.0, 80.0),
    "price_list": ("file.toml", "script.toml", "option.toml"),
    "stockroom": ("file", "no script", "option"),
    "maker": ("the smith", "the second smith", "the ship's smith"),
    "hole_rules.edge_table": ("EN 1993-1-8", "AISC J3.4", "AISC J3.4M"),
    "handle_rules.steep_deg": (40.0, 50.0, 60.0),
    "shop.contact_wheels": ([25.4], [30.0, 200.0], [254.0]),
    "shop.drills": (["metric"], ["letter"], ["1/4", "6.5 mm"]),
    "shop.lightening_sizes": (["metric"], ["letter"], ["1/4", "6.5 mm"]),
    "shop.process": ("laser", "wire EDM", "waterjet"),
}
"""Of settings that are no plain numbers: what file, script and option say."""

PYTHON = {
    "shop.drills": "drill_index('letter')",
    "shop.lightening_sizes": "drill_index('letter')",
    "shop.process": "Process.named('wire EDM')",
    "shop.contact_wheels": "(30.0, 200.0)",
}
"""How a script writes what it says, where it is no plain value."""


def said(key: str) -> tuple[Any, Any, Any]:
    """What file, script and option say."""
    if key in SPECIAL:
        return SPECIAL[key]
    usual = attrgetter(key)(Settings())
    if isinstance(usual, str):
        return "file's", "script's", "option's"
    return usual * 0.9, usual * 0.8, usual * 0.7


def script_that_says(key: str, value: Any) -> str:
    """A knife whose script declares the setting: as SETTINGS, or on the knife."""
    group, _, name = key.rpartition(".")
    text = "from bladegeom import HandleRules, HoleRules, Process, Shop, Tolerances, drill_index\n" + PLAIN
    written = PYTHON.get(key, repr(value))
    declared = {
        "hole_rules": f"rules=HoleRules({name}={written})",
        "handle_rules": f"handle_rules=HandleRules({name}={written})",
        "shop": f"shop=Shop({name}={written})",
        "shop.tolerances": f"shop=Shop(tolerances=Tolerances({name}={written}))",
    }
    if group:
        return text.replace("grind=grind)", f"grind=grind, {declared[group]})")
    if key == "hand_breadth":
        return text.replace("grind=grind)", f"grind=grind, hand_breadth={written})")
    return f"SETTINGS = {{{key!r}: {written}}}\n{text}"


def toml_of(key: str, value: object) -> str:
    return f"[bladegeom]\n{key} = {toml_words(value)}\n"


LEVELS = ("built in", "settings file", "script", "option")


@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("key", keys())
def test_the_last_that_says_something_holds(
    key: str, level: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each level is there together with all levels before it."""
    monkeypatch.chdir(tmp_path)
    spoken, (in_file, in_script, by_option) = LEVELS.index(level), said(key)
    if spoken >= 1:
        (tmp_path / "settings.toml").write_text(toml_of(key, in_file))
        monkeypatch.setenv("BLADEGEOM_SETTINGS", "settings.toml")
    script = tmp_path / "knife.py"
    if key == "stockroom":
        # A script's names are looked for while it runs, before its SETTINGS are read: it says none.
        (tmp_path / in_file).mkdir()
        (tmp_path / by_option).mkdir()
        if level == "script":
            script.write_text(script_that_says(key, in_script))
            with pytest.raises(ScriptError, match="stockroom"):
                Design.from_script(script)
            return
    script.write_text(script_that_says(key, in_script) if spoken >= 2 and key != "stockroom" else PLAIN)
    options = [f"{key}={toml_words(by_option)}"] if spoken >= 3 else []
    design = Design.from_script(script, settings=asked_settings(argparse.Namespace(setting=options)))
    wanted: Any = (plain_value(attrgetter(key)(Settings())), in_file, in_script, by_option)[spoken]
    if key in ("price_list", "stockroom", "maker"):
        held = attrgetter(key)(design.settings)
        assert (held.name if isinstance(held, Path) else held) == wanted
        assert design.settings.source(key) == level
    else:
        told = settings_report(design)[key]
        assert told["source"] == level
        assert told["value"] == (pytest.approx(wanted) if isinstance(wanted, float) else wanted)


def test_rules_are_filled_before_the_script_places_anything(tmp_path: Path) -> None:
    """Holes are drilled with the drills on hand, also where the placing stands inside of design()."""
    script = tmp_path / "knife.py"
    script.write_text(
        "from bladegeom import add_lightening_row\n"
        + PLAIN.replace("return Knife(", "return add_lightening_row(Knife(").replace("grind=grind)", "grind=grind))")
    )
    settings = Settings(shop=Shop(drills=(drill("5 mm"),)), hole_rules=HoleRules(rim=6.0))
    made = Design.from_script(script, settings=settings)
    assert {hole.diameter for hole in made.knife.holes} == {5.0}
    assert made.knife.rules.rim == 6.0
    plain = Design.from_script(script)
    assert {hole.diameter for hole in plain.knife.holes} != {5.0}
    assert made.revision_id != plain.revision_id
    # What comes out is an ordinary knife: the same, declared in full, has the same mark.
    declared = replace(plain.knife, holes=made.knife.holes, shop=made.knife.shop, rules=made.knife.rules)
    assert Design(declared).revision_id == made.revision_id


def test_a_changed_copy_keeps_what_it_has() -> None:
    own = HoleRules(rim=5.0)
    with Settings(hole_rules=HoleRules(rim=4.0, web=4.0)).in_force():
        assert (replace(own, web=6.0).rim, replace(own, rim=7.0).web) == (5.0, 3.0)
        assert (HoleRules().rim, HoleRules(rim=9.0).web) == (4.0, 4.0)
    assert HoleRules().rim == 3.0


def test_options_go_before_scripts_while_these_run_and_not_after() -> None:
    settings = Settings().changed({"hole_rules.rim": 4.0}, "option")
    with settings.over_script():
        assert HoleRules(rim=9.0).rim == 4.0
    with settings.in_force():
        assert HoleRules(rim=9.0).rim == 9.0


def test_other_threads_see_nothing_of_it() -> None:
    seen: list[object] = []
    with Settings(units="inch", hole_rules=HoleRules(rim=4.0)).in_force():
        thread = threading.Thread(
            target=lambda: seen.extend((HoleRules().rim, show_length(25.4), settings_in_force().units))
        )
        thread.start()
        thread.join()
        with Settings().in_force():
            assert HoleRules().rim == 3.0
        assert HoleRules().rim == 4.0
    assert seen == [3.0, "25.40 mm (1 in)", "mm"]
    assert settings_in_force() == Settings()


def test_nothing_holds_after_an_error() -> None:
    with pytest.raises(ZeroDivisionError), Settings(units="inch", hole_rules=HoleRules(rim=4.0)).in_force():
        _ = 1 / 0
    assert (HoleRules().rim, show_length(25.4)) == (3.0, "25.40 mm (1 in)")


def test_python_reads_no_machine_unless_asked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "settings.toml").write_text('[bladegeom]\npaper = "Letter"\nhand_breadth = 90\n')
    (tmp_path / "knife.py").write_text(PLAIN)
    monkeypatch.setenv("BLADEGEOM_SETTINGS", str(tmp_path / "settings.toml"))
    monkeypatch.setenv("LC_ALL", "en_US.UTF-8")
    design = Design.from_script(tmp_path / "knife.py")
    assert (design.settings.paper, design.knife.hand_breadth) == ("A4", None)
    asked = Design.from_script(tmp_path / "knife.py", settings=read_settings())
    assert (asked.settings.paper, asked.knife.hand_breadth) == ("Letter", 90.0)


# Worker processes


def test_an_option_that_says_what_is_built_in_decides_all_the_same() -> None:
    """A script that says something else gives another knife under it."""
    usual = Settings()
    forced = usual.changed({"hole_rules.rim": usual.hole_rules.rim}, "option")
    assert forced.decisive != usual.decisive
    assert usual.changed({"paper": "Letter"}, "settings file").decisive == usual.decisive


def test_workers_of_a_sweep_see_the_same_settings(tmp_path: Path) -> None:
    script = tmp_path / "knife.py"
    script.write_text(
        "from bladegeom import add_lightening_row\n"
        + PLAIN.replace("return Knife(", "return add_lightening_row(Knife(").replace("grind=grind)", "grind=grind))")
    )
    settings = Settings(shop=Shop(drills=(drill("5 mm"),)))
    with settings.in_force():
        sweep = script_sweep(script, {"blade_length": (100.0, 120.0)}, jobs=2)
    # The rows are asked for where nothing is in force any more.
    masses = [row.outcome.mass for row in sweep.rows()]  # type: ignore[union-attr]
    with_drill, without = (
        [Design.from_script(script, settings=each, blade_length=n).weighing.total.amount for n in (100.0, 120.0)]
        for each in (settings, Settings())
    )
    assert masses == pytest.approx(with_drill)
    assert masses != pytest.approx(without)
    assert sweep.table.state != script_sweep(script, {"blade_length": (100.0,)}).table.state
    assert ScriptDesign(script, settings)(blade_length=100.0).shop.drills == (drill("5 mm"),)


# The file


@pytest.mark.parametrize(
    ("text", "line", "facts"),
    [
        ('[bladegeom]\npaper = "A44"\n', 2, [unknown("paper", "A44", "A4")]),
        ('[bladegeom]\n\npapre = "A4"\n', 3, [unknown("setting", "papre", "paper")]),
        ('paper = "A4"\n', 1, ["paper", "[bladegeom]"]),
        ('[shop]\nprocess = "laser"\n', 1, ["shop", "[bladegeom]"]),
        ('[bladegeom]\nunits = "cm"\n', 2, ["units", "'mm' or 'inch'"]),
        ('[bladegeom]\nprinter = "good"\n', 2, ["'good'", "99.6 x 100.2"]),
        ('[bladegeom]\nprinter = "80 x 100"\n', 2, ["80 mm", "90 to 110 mm"]),
        ("[bladegeom]\nprinter = 99.6\n", 2, ["99.6", "99.6 x 100.2"]),
        ("[bladegeom]\nhand_breadth = -3\n", 2, ["hand_breadth", "more than 0 mm"]),
        ('[bladegeom]\nhand_breadth = "3 furlong"\n', 2, ["hand_breadth", "furlong", "'3/16 in'"]),
        ("[bladegeom]\nhand_breadth = true\n", 2, ["hand_breadth", "a number of mm"]),
        ("[bladegeom]\nhand_breadth = nan\n", 2, ["hand_breadth", "a finite number"]),
        ("[bladegeom]\nprice_list = 3\n", 2, ["price_list", "TOML"]),
        ("[bladegeom]\nmaker = 3\n", 2, ["maker", "a text"]),
        ('[bladegeom]\nmaker = " "\n', 2, ["maker", "say something"]),
        (
            '[bladegeom.hole_rules]\nrim = "4 mm"\nwebb = 3\n',
            3,
            [unknown("setting", "hole_rules.webb", "hole_rules.web")],
        ),
        ("[bladegeom.hole_rules]\nrim = 4,0\n", 2, ["4.0 with a decimal point"]),
        ("[bladegeom.hole_rules]\nnet_width = 50\n", 2, ["net_width", "from 0 to 1"]),
        ('[bladegeom.hole_rules]\nedge_table = "EN"\n', 2, ["EN 1993-1-8"]),
        ("[bladegeom]\nhole_rules = 4\n", 2, ["[bladegeom.hole_rules]"]),
        ('[bladegeom.shop]\ndrills = "large"\n', 2, [unknown("drill", "large")]),
        ("[bladegeom.shop]\ndrills = []\n", 2, ["shop.drills", "at least one"]),
        ('[bladegeom.shop]\ndrills = ["metric", true]\n', 2, ["shop.drills", "fractional"]),
        ('[bladegeom.shop]\nprocess = "lasr"\n', 2, [unknown("cutting process", "lasr", "laser")]),
        ("[bladegeom.shop]\ncontact_wheels = 25.4\n", 2, ["shop.contact_wheels", "[25.4, '10 in']"]),
        ("[bladegeom.shop]\ncontact_wheels = [0]\n", 2, ["shop.contact_wheels", "more than 0 mm"]),
        ('[bladegeom.shop.tolerances]\nslab = "x"\n', 2, ["shop.tolerances.slab", "'x'"]),
        ("bladegeom = 3\n", 1, ["[bladegeom]"]),
    ],
)
def test_what_is_wrong_is_told_with_file_and_line(text: str, line: int, facts: list[str], tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    path.write_text(text)
    with pytest.raises(UnreadableFileError) as caught:
        read_settings(path)
    assert (caught.value.name, caught.value.line) == (str(path), line)
    assert_tells(str(caught.value), *facts)
    assert "\n" not in str(caught.value)


def test_a_mark_at_the_beginning_and_foreign_line_ends_are_read_over(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    path.write_bytes(b'\xef\xbb\xbf[bladegeom]\r\npaper = "letter"\r\nhand_breadth = "3-1/2 in"\r\n')
    settings = read_settings(path)
    assert (settings.paper, settings.hand_breadth) == ("Letter", 88.9)


@pytest.mark.parametrize(
    ("name", "content", "facts"),
    [
        ("missing.toml", None, ["No such file"]),
        (".", None, ["Is a directory"]),
        ("latin.toml", '[bladegeom]\n# f\xfcr\npaper = "A4"\n'.encode("latin-1"), ["line 2", "0xfc", "UTF-8"]),
        ("wide.toml", "[bladegeom]\n".encode("utf-16"), ["UTF-16"]),
        ("long.toml", b"#" * 1_000_001, ["larger than 1 MB"]),
    ],
)
def test_a_named_file_must_be_there_and_be_text(
    name: str, content: bytes | None, facts: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / name
    if content is not None:
        path.write_bytes(content)
    monkeypatch.setenv("BLADEGEOM_SETTINGS", str(path))
    with pytest.raises(UnreadableFileError) as caught:
        read_settings()
    assert_tells(str(caught.value), *facts)


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="whoever may all reads all")
def test_a_file_that_may_not_be_read(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    path.write_text("[bladegeom]\n")
    path.chmod(0)
    with pytest.raises(UnreadableFileError, match="Permission denied"):
        read_settings(path)


@pytest.mark.parametrize("text", ["", "[bladegeom]\n", "# nothing yet\n"])
def test_a_file_that_sets_nothing_changes_nothing(text: str, tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    path.write_text(text)
    assert read_settings(path) == Settings()


@pytest.mark.parametrize(
    ("platform", "environ", "wanted"),
    [
        ("linux", {"XDG_CONFIG_HOME": "/x/conf"}, "/x/conf/bladegeom/settings.toml"),
        ("linux", {"XDG_CONFIG_HOME": "conf", "HOME": "/home/smith"}, "/home/smith/.config/bladegeom/settings.toml"),
        ("linux", {"HOME": "/home/smith"}, "/home/smith/.config/bladegeom/settings.toml"),
        ("darwin", {"HOME": "/Users/smith"}, "/Users/smith/Library/Application Support/bladegeom/settings.toml"),
        ("win32", {"APPDATA": "/c/Roaming"}, "/c/Roaming/bladegeom/settings.toml"),
        ("win32", {"HOME": "/c/smith"}, "/c/smith/AppData/Roaming/bladegeom/settings.toml"),
        ("linux", {"BLADEGEOM_SETTINGS": "own.toml", "HOME": "/home/smith"}, "own.toml"),
        ("linux", {"BLADEGEOM_SETTINGS": "", "HOME": "/home/smith"}, None),
        ("linux", {"BLADEGEOM_SETTINGS": "None", "HOME": "/home/smith"}, None),
    ],
)
def test_the_file_lies_where_the_system_keeps_such_files(
    platform: str, environ: dict[str, str], wanted: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("BLADEGEOM_SETTINGS", "XDG_CONFIG_HOME", "APPDATA", "HOME"):
        monkeypatch.delenv(name, raising=False)
    for name, value in environ.items():
        monkeypatch.setenv(name, value)
    monkeypatch.setattr(sys, "platform", platform)
    assert settings_path() == (None if wanted is None else Path(wanted))


def test_nobody_is_at_home(monkeypatch: pytest.MonkeyPatch) -> None:
    def nobody() -> Path:
        raise RuntimeError("Could not determine home directory.")

    for name in ("BLADEGEOM_SETTINGS", "XDG_CONFIG_HOME"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(Path, "home", nobody)
    assert settings_path() is None
    assert read_settings() == Settings()


def test_the_file_to_start_from_sets_nothing_and_every_line_of_it_can_be_set(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    path.write_text(starter_settings())
    assert read_settings(path) == Settings()
    # Take away the mark before each key.
    awake = re.sub(r"^# (\w+ = )", r"\1", starter_settings(), flags=re.MULTILINE)
    path.write_text(awake)
    settings = read_settings(path)
    assert set(settings.sources) == set(keys())
    for key in keys():
        usual = attrgetter(key)(Settings())
        assert attrgetter(key)(settings) == usual or usual is None, key
    for line in awake.splitlines():
        if line.endswith("# invented"):
            assert line.partition(" = ")[0] in {key.rpartition(".")[2] for key in keys()}
    assert "INVENTED" in awake
    assert tomllib.loads(awake)["bladegeom"]["shop"]["process"] == "waterjet"


def test_names_of_files_are_told_from_the_folder_of_the_settings(tmp_path: Path) -> None:
    (tmp_path / "settings.toml").write_text('[bladegeom]\nprice_list = "lists/prices.toml"\n')
    assert read_settings(tmp_path / "settings.toml").price_list == tmp_path / "lists" / "prices.toml"


# Scripts


@pytest.mark.parametrize(
    ("line", "facts"),
    [
        ("SETTINGS = 'Letter'", ["line 1", "SETTINGS = {'paper': 'Letter'}"]),
        ("SETTINGS = {'paper': 'A44'}", ["line 1", unknown("paper", "A44", "A4")]),
        ("SETTINGS = {'papre': 'A4'}", ["line 1", unknown("setting", "papre", "paper")]),
        ("SETTINGS = {'units': 'cm'}", ["line 1", "'mm' or 'inch'"]),
        ("SETTINGS = {'shop.process': 'laser'}", ["line 1", "shop.process", "where the knife is declared"]),
    ],
)
def test_a_script_says_what_it_cannot_say_otherwise(line: str, facts: list[str], tmp_path: Path) -> None:
    script = tmp_path / "knife.py"
    script.write_text(f"{line}\n{PLAIN}")
    with pytest.raises(ScriptError) as caught:
        Design.from_script(script)
    assert_tells(str(caught.value), *facts)


def test_wrong_settings_are_refused() -> None:
    for make in (
        lambda: Settings(paper="A44"),
        lambda: Settings(units="cm"),  # type: ignore[arg-type]
        lambda: Settings(printer="99.6 x 100.2"),  # type: ignore[arg-type]
        lambda: Settings(hole_rules={"rim": 4.0}),  # type: ignore[arg-type]
        lambda: Design(drop_point(), settings="Letter"),  # type: ignore[arg-type]
        lambda: Design.from_script("knife.py", settings={"paper": "Letter"}),  # type: ignore[arg-type]
    ):
        with pytest.raises(BladegeomError):
            make()


# Units


@pytest.mark.parametrize(
    ("show", "wanted"),
    [
        (lambda: show_length(3.175), "1/8 in (3.175 mm)"),
        (lambda: show_size(223.04, 31.75), "8.781 x 1-1/4 in (223.04 x 31.75 mm)"),
        (lambda: room_to_buy(263.04).text, "10-3/8 in (264 mm)"),
        (lambda: show_range(0.3, 0.5), "0.012 to 0.020 in (0.30 to 0.50 mm)"),
        (show_units, "inch (mm); single numbers mm"),
    ],
)
def test_inches_first(show: Any, wanted: str) -> None:
    with Settings(units="inch").in_force():
        assert show() == wanted


MM_FIRST, INCHES_FIRST = r"[\d.]+ mm \([\d/.-]+ in\)", r"[\d/.-]+ in \([\d.]+ mm\)"


def too_near_the_border() -> Knife:
    """A hole whose rim is too narrow: its finding tells lengths."""
    hole = Hole(x=-50.0, y=-4.0, diameter=3.0, purpose="lightening")
    return drop_point(holes=(hole,))


def test_what_a_knife_remembers_is_told_in_each_order() -> None:
    knife, told = too_near_the_border(), []
    for units in ("mm", "inch", "mm"):
        with Settings(units=units).in_force():
            told.append(next(finding.message for finding in check(knife) if finding.code == "rim"))
    assert re.search(MM_FIRST, told[0])
    assert not re.search(INCHES_FIRST, told[0])
    assert re.search(INCHES_FIRST, told[1])
    assert not re.search(MM_FIRST, told[1])
    assert told[2] == told[0]


def test_a_design_is_told_in_its_own_order_whatever_is_in_force(tmp_path: Path) -> None:
    designs = [Design(too_near_the_border(), settings=Settings(units=units)) for units in ("mm", "inch")]
    for design, form, other in zip(designs, (MM_FIRST, INCHES_FIRST), (INCHES_FIRST, MM_FIRST), strict=True):
        for units in ("inch", "mm"):
            with Settings(units=units).in_force():
                content = report(design)
                text = as_text(content)
                (page,) = pages(design, "template").save(tmp_path / f"{form[2:5]}.pdf")
        printed = "".join(sheet.get_textpage().get_text_range() for sheet in pypdfium2.PdfDocument(page))
        for words in (next(f["message"] for f in content["findings"] if f["code"] == "rim"), text, printed):
            assert re.search(form, words)
            assert not re.search(other, words)


# The command line


def test_the_paper_of_the_country_is_told_with_its_reason(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "plain.py").write_text(PLAIN)
    monkeypatch.setenv("LC_ALL", "es_MX.UTF-8")
    assert main(["export", "plain.py"]) == 0
    first = capsys.readouterr().out.splitlines()[0]
    assert_tells(first, "Letter", "country of the locale", "--paper")
    assert {path.stem.rpartition("_")[2] for path in (tmp_path / "plain").glob("*_book_*.pdf")} == {"Letter"}
    report = (tmp_path / "plain" / "plain_rev-A_report.txt").read_text()
    assert re.search(r"^  paper +Letter  \[country of the locale\]$", report, re.MULTILINE)
    assert main(["export", "plain.py", "--paper", "A4"]) == 0
    assert "printed on" not in capsys.readouterr().out
    report = (tmp_path / "plain" / "plain_rev-A_report.txt").read_text()
    assert re.search(r"^  paper +A4  \[option\]$", report, re.MULTILINE)


def test_settings_are_shown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "settings.toml"
    monkeypatch.setenv("BLADEGEOM_SETTINGS", str(path))
    assert main(["settings", "--starter", str(path)]) == 0
    assert main(["settings", "--starter", str(path)]) == 2
    capsys.readouterr()
    path.write_text('[bladegeom]\nunits = "inch"\nhole_rules.rim = 4\n')
    assert main(["settings", "--setting", "paper=letter"]) == 0
    told = capsys.readouterr().out
    assert_tells(
        told, str(path), "paper  Letter  [option]", "units  inch  [settings file]", "hole_rules  9 settings, rim set"
    )
    assert len(told.splitlines()) <= 50
    for name, wanted in (
        ("rim", "hole_rules.rim  0.157 in (4.00 mm)  [settings file]"),
        ("process", "shop.process  waterjet"),
    ):
        assert main(["settings", name]) == 0
        assert_tells(capsys.readouterr().out, wanted, "May be: ")
    assert main(["settings", "tolerances"]) == 0
    assert capsys.readouterr().out.count("May be: ") == 10
    assert main(["settings", "papre"]) == 2
    assert unknown("setting", "papre", "paper") in capsys.readouterr().err


def test_every_setting_says_what_it_means_and_may_be() -> None:
    for key in keys().values():
        assert len(key.meaning) > 10, key.name
        assert key.allowed, key.name
        assert key.name in settings_words(Settings(), key.name)
    with pytest.raises(UnknownNameError):
        settings_words(Settings(), "papre")


def test_broken_settings_stop_what_heeds_them_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "settings.toml").write_text("[bladegeom]\nrim = 4\n")
    (tmp_path / "plain.py").write_text(PLAIN)
    monkeypatch.setenv("BLADEGEOM_SETTINGS", str(tmp_path / "settings.toml"))
    for command in (["check", str(tmp_path / "plain.py")], ["settings"], ["profiles"]):
        assert main(command) == 2
        assert "settings.toml, line 2" in capsys.readouterr().err
    assert main(["settings", "--starter", str(tmp_path / "starter.toml")]) == 0


@pytest.mark.parametrize(
    ("option", "facts"),
    [
        ("paper", ["KEY=VALUE"]),
        ("papr=A4", [unknown("setting", "papr", "paper")]),
        ("units=cm", ["--setting units", "'mm' or 'inch'"]),
        ("hole_rules.rim=abc", ["--setting hole_rules.rim", "'abc'"]),
        ("hole_rules.rim=-1", ["--setting hole_rules.rim", "from 0 to 1000 mm"]),
    ],
)
def test_wrong_options_are_named(option: str, facts: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["settings", "--setting", option]) == 2
    assert_tells(capsys.readouterr().err, *facts)


def test_an_option_can_take_a_setting_away(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "settings.toml").write_text('[bladegeom]\nprinter = "99.6 x 100.2"\nhand_breadth = 90\n')
    monkeypatch.setenv("BLADEGEOM_SETTINGS", str(tmp_path / "settings.toml"))
    assert read_settings().printer == Printer(across=99.6, along=100.2)
    settings = asked_settings(argparse.Namespace(setting=["printer=none", "hand_breadth=none"]))
    assert (settings.printer, settings.hand_breadth) == (None, None)


def test_prices_and_process_of_the_settings_are_taken(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "plain.py").write_text(PLAIN)
    (tmp_path / "shop").mkdir()
    assert main(["quote", "--starter", "shop/prices.toml"]) == 0
    (tmp_path / "shop" / "settings.toml").write_text(
        '[bladegeom]\nprice_list = "prices.toml"\nshop.process = "laser"\n'
    )
    with pytest.raises(SystemExit):
        main(["quote", "plain.py"])
    monkeypatch.setenv("BLADEGEOM_SETTINGS", "shop/settings.toml")
    capsys.readouterr()
    assert main(["quote", "plain.py"]) in (0, 1)
    assert "Quote: 1 x Plain" in capsys.readouterr().out
    assert main(["export", "plain.py", "--paper", "A4"]) == 0
    (cut,) = (tmp_path / "plain").glob("*.dxf")
    capsys.readouterr()
    assert main(["preflight", str(cut), "--thickness", "3.5", "--sheet", "pass.pdf"]) == 0
    assert "tested against laser" in capsys.readouterr().out
    assert main(["preflight", str(cut), "--thickness", "3.5", "--process", "waterjet"]) == 0
    assert "tested against waterjet" in capsys.readouterr().out
