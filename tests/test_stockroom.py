"""A maker's own stockroom: names are found as built-in ones are, and what is wrong with a file is told with its key."""

from __future__ import annotations

import os
import shutil
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bladegeom import Design, Pin, Settings, Stock, material, own_hardware, profiles, report
from bladegeom.cli import main
from bladegeom.commands.stockroom import stockroom_words
from bladegeom.price.price_list_toml import read_prices
from bladegeom.quantities.errors import BladegeomError, ParameterError, UnknownNameError, UnknownTreatmentError
from bladegeom.quantities.file_errors import UnreadableFileError
from bladegeom.quantities.materials import materials
from bladegeom.quantities.own_materials import OWN_KINDS
from bladegeom.quantities.steel_treatments import heat_treatment
from bladegeom.quantities.stockroom import SHELVES, stocked, stockroom_open
from bladegeom.quantities.toml_table import read_toml

ROOT = Path(__file__).resolve().parents[1]
EXAMPLE = ROOT / "examples" / "bosun" / "stockroom"
KNIFE = ROOT / "examples" / "bosun" / "bosun_knife.py"

STEEL = 'density_g_cm3 = 7.8\nsource = "weighed"\n'
HEAT = STEEL + '[heat_treatment]\naustenitize_c = 800\nsource = "sheet"\n'
PIN = 'kind = "pin"\nrod = "304"\ndiameter = 5.0\n'
PROFILE = (EXAMPLE / "profiles" / "bosun.py").read_text(encoding="utf-8")
PLAIN_PRICES = (ROOT / "examples" / "prices.toml").read_text(encoding="utf-8")
PRICES = (EXAMPLE / "prices" / "invented prices.toml").read_text(encoding="utf-8")


def put(folder: Path, place: str, text: str) -> Settings:
    """A stockroom with one file."""
    path = folder / place
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return Settings(stockroom=folder)


def ask(place: str) -> Any:
    """What the file at a place holds, asked for by its name."""
    shelf, name = Path(place).parts[0], Path(place).stem
    if shelf in OWN_KINDS:
        return heat_treatment(name) if material(name).kind == "steel" else None
    return {"hardware": own_hardware, "profiles": profiles.get, "prices": read_prices}[shelf](name)


def test_the_example_is_found_whole() -> None:
    """The numbers are those of the files, read here by another way."""
    steel = read_toml(EXAMPLE / "steels" / "shop steel 7.toml", most_bytes=10**6, advice="").content
    with Settings(stockroom=EXAMPLE).in_force():
        bar = Stock(steel="Shop-Steel 7", thickness=3.0).material
        treated = heat_treatment("shop steel 7")
        assert own_hardware("shop pin") == Pin(rod="C26000", diameter=4.7625)
        assert {each.name for each in profiles.listed() if each.own} == {"bosun"}
        assert profiles.half(profiles.get("Bosun")) == "handle"
        assert read_prices("invented prices").bars[0].steel == "shop steel 7"
        assert material("sailcloth laminate").kind == "laminate"
    assert (bar.name, bar.density_g_cm3) == ("shop steel 7", steel["density_g_cm3"])
    assert "steels/shop steel 7.toml" in bar.source
    wanted = [(row["celsius"], row["hrc"]) for row in steel["heat_treatment"]["temper"]]
    assert [(row.celsius, row.hardness.hrc) for row in treated.tempers] == wanted


def test_python_finds_nothing_that_nobody_put_in_force() -> None:
    with pytest.raises(UnknownNameError):
        material("shop steel 7")
    with pytest.raises(UnknownNameError):
        profiles.get("bosun")
    with pytest.raises(ParameterError, match="set stockroom in your settings"):
        own_hardware("shop pin")


def test_a_design_weighs_with_the_own_density_and_tells_its_files() -> None:
    design = Design.from_script(KNIFE, settings=Settings(stockroom=EXAMPLE))
    blade = next(part for part in design.weighing.parts if part.name == "blade")
    assert blade.mass.amount == pytest.approx(blade.volume.amount * 7.79 / 1000)
    wanted = ["hardware/shop pin.toml", "laminates/sailcloth laminate.toml", "profiles/bosun.py"]
    assert report(design)["settings"]["from_stockroom"]["value"] == [*wanted, "steels/shop steel 7.toml"]
    assert design.route.keys


def test_every_command_finds_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Any) -> None:
    shutil.copytree(EXAMPLE, tmp_path / "stockroom")
    (tmp_path / "settings.toml").write_text('[bladegeom]\nstockroom = "stockroom"\nprice_list = "invented prices"\n')
    monkeypatch.setenv("BLADEGEOM_SETTINGS", str(tmp_path / "settings.toml"))
    monkeypatch.chdir(tmp_path)
    for command, words in (
        (["check", str(KNIFE)], "0 errors"),
        (["report", str(KNIFE), "settings"], "steels/shop steel 7.toml"),
        (["quote", str(KNIFE)], "to pay"),
        (["profiles"], "[your own]"),
        (["profiles", "bosun"], 'profiles.get("bosun")'),
        (["settings"], "steel 'shop steel 7', 7.79 g/cm3, with its heat treatment"),
        (["new", "k.py", "--handle", "bosun"], "k.py written"),
        (["check", "k.py"], "0 errors"),
    ):
        assert main(command) == 0, command
        assert words in capsys.readouterr().out


WRONG = {
    "steels/a7.toml": {
        'density_g_cm3 = "heavy"\nsource = "x"': "density_g_cm3",
        "density_g_cm3 = 7.8": "lacks source",
        STEEL.replace("weighed", " "): "source",
        STEEL + "colour = 3\n": "colour",
        STEEL + "low = 7.9\n": "between low and high",
        HEAT.replace('source = "sheet"\n', ""): "lacks source",
        HEAT.replace("800", "80"): "austenitize_c",
        HEAT + "steel = '1084'\n": "name of the file",
        HEAT + "[[heat_treatment.temper]]\nhrc = 60\nlow = 59\nhigh = 61\n": "lacks celsius",
        HEAT + "[[heat_treatment.temper]]\ncelsius = 200\nhrc = 60\nlow = 61\nhigh = 62\n": "rising order",
        HEAT + "growth = [1]\n": "two numbers",
        "density = = 3": "no TOML",
    },
    "laminates/cloth.toml": {
        "density_g_cm3 = 0\nsource = 'x'": "density_g_cm3",
        HEAT: "heat_treatment",
    },
    "woods/ship oak.toml": {
        "density_g_cm3 = 0\nsource = 'x'": "density_g_cm3",
        HEAT: "heat_treatment",
    },
    "hardware/peg.toml": {
        PIN.replace('"pin"', '"nail"'): "pin, shouldered bolt, standoff screws, tube",
        PIN.replace('kind = "pin"\n', ""): "lacks kind",
        PIN.replace("5.0", "-5.0"): "diameter",
        PIN.replace("5.0", '"five"'): "diameter",
        PIN.replace("304", "no such metal"): "no such metal",
        PIN + "length = 4\n": "length",
    },
    "profiles/stub.py": {
        "def": "no Python",
        "x = 3": "0 dataclasses",
        "1 / 0": "ZeroDivisionError",
        PROFILE.replace("def handle", "def hnadle"): "blade() or a handle()",
    },
    "prices/dear.toml": {
        "currency = 3": "lacks date",
        PLAIN_PRICES.replace("hour_rate = 42.00", 'hour_rate = "a lot"'): "hour_rate",
    },
}


@pytest.mark.parametrize(
    ("place", "text", "words"), [(place, text, words) for place, of in WRONG.items() for text, words in of.items()]
)
def test_a_wrong_file_is_an_error_where_it_is_asked_for_and_a_warning_where_it_is_listed(
    place: str, text: str, words: str, tmp_path: Path
) -> None:
    settings = put(tmp_path, place, text)
    with settings.in_force():
        with pytest.raises(UnreadableFileError, match=Path(place).name) as told:
            ask(place)
        assert words in str(told.value)
        assert "\n" not in str(told.value)
        assert material("1084").name == "1084"
    assert f"{place}: warning: " in stockroom_words(settings)


UNSAYABLE = "class E({kind}):\n    def __str__(self):\n        raise {inner}\nraise E()\n"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (UNSAYABLE.format(kind="Exception", inner="ValueError"), "line 4: E, an error of its own"),
        (UNSAYABLE.format(kind="BaseException", inner="KeyboardInterrupt"), "line 4: E, an error of its own"),
        ("raise KeyboardInterrupt\n", "line 1: KeyboardInterrupt"),
        ("raise GeneratorExit\n", "line 1: GeneratorExit"),
        ("import sys\nsys.exit(3)\n", "line 2: SystemExit: 3"),
        ("raise BaseException\n", "line 1: BaseException"),
        ("x = " + "-" * 200_000 + "1\n", "nests too deeply"),
        ("x = a" + ".b" * 100_000 + "\n", "nests too deeply"),
        ("\0", "null bytes"),
    ],
)
def test_whatever_an_own_profile_does_is_told_in_one_line(
    text: str, words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    put(tmp_path / "stockroom", "profiles/stub.py", text)
    (tmp_path / "settings.toml").write_text('[bladegeom]\nstockroom = "stockroom"\n')
    monkeypatch.setenv("BLADEGEOM_SETTINGS", str(tmp_path / "settings.toml"))
    assert main(["profiles"]) == 0
    assert "petty" in capsys.readouterr().out
    assert main(["settings", "stockroom"]) == 0
    capsys.readouterr()
    assert main(["settings"]) == 0
    (line,) = (line for line in capsys.readouterr().out.splitlines() if "profiles/stub.py: " in line)
    assert words in line
    assert main(["new", str(tmp_path / "k.py"), "--handle", "stub"]) == 2
    said = capsys.readouterr().err
    assert words in said
    assert said.count("\n") == 1


@pytest.mark.parametrize("kind", ["loop", "folder", "pipe", "device"])
@pytest.mark.parametrize("place", ["profiles/stub.py", "steels/a7.toml", "hardware/peg.toml", "prices/dear.toml"])
def test_what_is_no_file_is_a_warning_in_the_list(kind: str, place: str, tmp_path: Path) -> None:
    settings = put(tmp_path, place, "")
    path = tmp_path / place
    path.unlink()
    if kind == "folder":
        path.mkdir()
    elif kind == "pipe":
        os.mkfifo(path)
    else:
        path.symlink_to("/dev/zero" if kind == "device" else path.name)
    assert f"{place}: warning: " in stockroom_words(settings)
    with settings.in_force():
        profiles.listed()
        with pytest.raises(UnreadableFileError, match=Path(place).name):
            ask(place)


@pytest.mark.parametrize(
    ("place", "text"),
    [("steels/AISI 1084.toml", STEEL), ("laminates/g10.toml", STEEL), ("profiles/petty.py", PROFILE)],
)
def test_nothing_built_in_is_hidden(place: str, text: str, tmp_path: Path) -> None:
    settings = put(tmp_path, place, text)
    with settings.in_force(), pytest.raises(UnreadableFileError, match="is built in"):
        ask(place)
    assert "is built in" in stockroom_words(settings)


def test_a_name_stands_once(tmp_path: Path) -> None:
    put(tmp_path, "steels/shop 7.toml", STEEL)
    settings = put(tmp_path, "woods/Shop-7.toml", STEEL)
    with settings.in_force(), pytest.raises(UnreadableFileError, match="has the same name"):
        material("shop7")
    assert stockroom_words(settings).count("has the same name") == 2


@pytest.mark.parametrize(("shelf", "kind"), OWN_KINDS.items())
def test_a_material_is_of_the_kind_of_its_shelf(shelf: str, kind: str, tmp_path: Path) -> None:
    with put(tmp_path, f"{shelf}/a 7.toml", STEEL).in_force():
        assert (material("A-7").kind, material("A-7").density_g_cm3) == (kind, 7.8)


def test_a_sweep_does_not_wait_for_a_pipe(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    put(tmp_path / "stockroom", "woods/oak.toml", STEEL)
    os.mkfifo(tmp_path / "stockroom" / "woods" / "pipe.toml")
    monkeypatch.chdir(tmp_path)
    assert main(["new", "k.py", "--blade", "petty"]) == 0
    assert main(["sweep", "k.py", "thickness=2,2.2", "--jobs=1", "--setting", "stockroom=stockroom"]) == 0


def test_what_is_never_read_is_told(tmp_path: Path) -> None:
    put(tmp_path, "steel/a.toml", STEEL)
    words = stockroom_words(put(tmp_path, "steels/a.txt", STEEL))
    assert "warning: steel: not read; the stockroom has the folders steels, laminates" in words
    assert "warning: steels/a.txt: not read; files in steels end in .toml" in words


def test_a_folder_in_it_that_is_a_circle_of_links_is_told(tmp_path: Path) -> None:
    (tmp_path / "steels").symlink_to("steels")
    settings = Settings(stockroom=tmp_path)
    assert "warning: " in stockroom_words(settings)
    with settings.in_force(), pytest.raises(UnreadableFileError, match="steels"):
        material("shop 7")


def test_a_stockroom_that_is_not_there_is_told(tmp_path: Path) -> None:
    with Settings(stockroom=tmp_path / "nowhere").in_force(), pytest.raises(UnreadableFileError, match="be a folder"):
        material("1084")


def test_an_unknown_name_is_told_with_the_own_ones(tmp_path: Path) -> None:
    put(tmp_path, "steels/shop steel 7.toml", STEEL)
    put(tmp_path, "hardware/peg.toml", PIN)
    with put(tmp_path, "prices/dear.toml", PRICES).in_force():
        for ask_for, near in ((material, "shop steel 7"), (own_hardware, "peg"), (read_prices, "dear")):
            with pytest.raises(UnknownNameError, match=near):
                ask_for(f"{near}x")
        with pytest.raises(UnknownTreatmentError):
            heat_treatment("shop steel 7")


def test_the_shelves_are_those_of_the_example() -> None:
    with stockroom_open(EXAMPLE):
        assert {file.shelf for file in stocked(*SHELVES)} == set(SHELVES)


@given(name=st.sampled_from([row.name for row in materials()]), density=st.floats(0.1, 25.0))
def test_any_density_comes_back_and_built_in_names_stay(
    name: str, density: float, tmp_path_factory: pytest.TempPathFactory
) -> None:
    before = material(name)
    with put(tmp_path_factory.mktemp("room"), "steels/zz 9.toml", STEEL.replace("7.8", repr(density))).in_force():
        assert material("ZZ-9").density_g_cm3 == density
        assert material(name) == before


@given(text=st.text(max_size=200))
def test_no_text_in_a_file_breaks_the_list(text: str, tmp_path_factory: pytest.TempPathFactory) -> None:
    folder = tmp_path_factory.mktemp("room")
    for place in ("steels/a7.toml", "hardware/peg.toml", "prices/dear.toml"):
        settings = put(folder, place, text)
        with settings.in_force(), pytest.raises(BladegeomError):
            ask(place)
    assert stockroom_words(settings).count("warning: ") == 3
