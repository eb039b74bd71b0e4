"""The file of what was agreed: read as written, and never taken for an agreement where anything is wrong with it."""

from __future__ import annotations

import dataclasses
import os
import re
import shutil
import tomllib
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import any_knives
import pytest
from agreements import EXAMPLES, ORDER, SEEN, SIGNED, WORK, agreed_design
from draws import draws
from hypothesis import given
from hypothesis import strategies as st

from bladegeom import (
    AgreedPrice,
    AgreedTerm,
    Answered,
    BladegeomError,
    Compared,
    Design,
    Signed,
    Spoiled,
    UnreadableFileError,
    agreed_text,
    read_agreed,
    report,
)
from bladegeom.agreement.agreed_toml import MOST_BYTES, VERSION, _checksum
from bladegeom.agreement.signed import HOW
from bladegeom.cli import main
from bladegeom.knife.knife import Knife

FULL = Signed(
    customer='the "bosun"\\\t\x7f',
    maker="der Schmied, Ää 刀",
    date=date(2026, 3, 9),
    how="by letter",
    answers=(Answered(question="Mark on which side?", answer="left,\nas on the old one"),),
    price=AgreedPrice(amount="640.00", currency="EUR"),
    terms=(AgreedTerm(what="deposit", value="30 % of what is to pay"),),
    note="folded twice",
)
TEXT = agreed_text(agreed_design().agreeing(FULL))


@pytest.fixture
def script(tmp_path: Path) -> Path:
    """A script with an order beside it, and with what was agreed on it."""
    for ending in ("py", "order.toml"):
        shutil.copy(EXAMPLES / f"galley_petty.{ending}", tmp_path)
    path = tmp_path / "galley_petty.py"
    text = agreed_text(Design.from_script(path).agreeing(SIGNED))
    path.with_suffix(".agreed.toml").write_text(text, encoding="utf-8")
    return path


def test_what_is_written_is_read(tmp_path: Path) -> None:
    path = tmp_path / "x.agreed.toml"
    path.write_text(TEXT, encoding="utf-8")
    agreed, written = read_agreed(path), agreed_design().agreeing(FULL)
    assert {name: getattr(agreed, name) for name in vars(written)} == vars(written)
    assert agreed_text(agreed) == TEXT


@given(any_knives.knives())
@draws(30)
def test_any_knife_is_read_as_it_was_written(tmp_path_factory: pytest.TempPathFactory, knife: Knife) -> None:
    path = tmp_path_factory.mktemp("agreed") / "x.agreed.toml"
    written = Design(knife, order=ORDER, work=WORK).agreeing(SIGNED)
    path.write_text(agreed_text(written), encoding="utf-8")
    assert read_agreed(path).state == written.state


@pytest.mark.parametrize("how", HOW)
def test_every_way_of_agreeing_is_read(how: str, tmp_path: Path) -> None:
    path = tmp_path / "x.agreed.toml"
    path.write_text(agreed_text(agreed_design().agreeing(dataclasses.replace(SIGNED, how=how))), encoding="utf-8")
    assert read_agreed(path).signed.how == how


@pytest.mark.parametrize(
    "change",
    [
        lambda text: text.replace("\n", "\r\n"),
        lambda text: "\ufeff" + text,
        lambda text: text.replace("[signed]", "\n# the bosun came by on Monday\n[signed]"),
    ],
    ids=["line ends", "mark", "remark"],
)
def test_what_an_editor_does_to_a_text_changes_no_word(change: Callable[[str], str], tmp_path: Path) -> None:
    path = tmp_path / "x.agreed.toml"
    path.write_bytes(change(TEXT).encode())
    assert read_agreed(path).signed.note == "folded twice"


def _deep(text: str) -> str:
    return text.replace("[signed]", f"[signed]\n{'.'.join('a' * 5000)} = 1")


CHANGED = "changed after it was written"
SPOILED: dict[str, tuple[Callable[[str], str], str]] = {
    "empty": (lambda _: "", "the file is empty"),
    "blank": (lambda _: "# nothing\n", "the file is empty"),
    "an order": (lambda _: (EXAMPLES / "galley_petty.order.toml").read_text(), "is no agreement"),
    "a price list": (lambda _: (EXAMPLES / "prices.toml").read_text(), "is no agreement"),
    "no TOML": (lambda text: text.replace("[signed]", "[signed"), "no TOML"),
    "cut off": (lambda text: text[: len(text) // 2], "no TOML|was changed|lacks"),
    "newer format": (
        lambda text: text.replace(f"version = {VERSION}", f"version = {VERSION + 1}"),
        "bring bladegeom up to date",
    ),
    "no version": (lambda text: text.replace(f"version = {VERSION}", "version = true"), "version"),
    "another date": (lambda text: text.replace("2026-03-09", "2026-03-08"), CHANGED),
    "another length": (lambda text: text.replace("thickness = 9.0", "thickness = 8.5"), CHANGED),
    "another name": (lambda text: text.replace("der Schmied", "die Schmiedin"), CHANGED),
    "a line gone": (lambda text: re.sub(r"sharpen_deg = .*\n", "", text), CHANGED),
    "a line more": (lambda text: text.replace("[signed]", '[signed]\nwitness = "me"'), CHANGED),
    "another checksum": (
        lambda text: re.sub(r'checksum = "\w+"', 'checksum = "0"', text),
        CHANGED,
    ),
    "no checksum": (lambda text: re.sub(r'checksum = "\w+"\n', "", text), CHANGED),
    "deep": (_deep, "deep|too many"),
    "tables in tables": (
        lambda text: text.replace("[signed]", f"[signed]\nx = {'{ a = ' * 60}1{' }' * 60}"),
        "deep|too many",
    ),
    "not a number": (lambda text: text.replace("thickness = 9.0", "thickness = nan"), CHANGED),
    "long": (lambda text: text + "#" * MOST_BYTES, "larger than 2 MB"),
}


@pytest.mark.parametrize("name", SPOILED)
def test_a_spoiled_file_is_named_and_never_taken_for_an_agreement(name: str, script: Path) -> None:
    change, words = SPOILED[name]
    path = script.with_suffix(".agreed.toml")
    path.write_text(change(TEXT), encoding="utf-8")
    with pytest.raises(UnreadableFileError, match=words):
        read_agreed(path)
    design = Design.from_script(script)
    assert isinstance(design.agreed, Spoiled)
    (finding,) = [each for each in design.errors if each.part == "agreement"]
    assert finding.code == "agreement-unread"
    assert path.name in finding.message
    assert not design.released
    assert design.allowing("agreement-unread").released


def forged(change: Callable[[str], str]) -> str:
    """A text that was changed and given the checksum that fits."""
    text = change(TEXT)
    content = tomllib.loads(text)
    content = {key: value for key, value in content.items() if key not in ("format", "version", "checksum")}
    return re.sub(r'checksum = "\w+"', f'checksum = "{_checksum(content)}"', text)


@pytest.mark.parametrize(
    "change",
    [
        lambda text: re.sub(r"points = .*", "points = []", text, count=1),
        lambda text: re.sub(r"points = .*", "points = [[0.0, 0.0], [nan, 1.0], [2.0, 2.0], [3.0, 3.0]]", text, count=1),
        lambda text: re.sub(r"points = .*", 'points = [["a", 0.0], [1.0], [2.0, 2.0], [3.0, 3.0]]', text, count=1),
        lambda text: text.replace('is = "Stock"', "thick = 1"),
        lambda text: text.replace("[state.felt]", "[state.weighed]"),
        lambda text: text.replace('order = "S-13"', "order = 13"),
        lambda text: text.replace('how = "by letter"', 'how = "by pigeon"'),
        lambda text: text.replace('amount = "640.00"', 'amount = "much"'),
        lambda text: text.replace("date = 2026-03-09", "date = 2026-03-09T12:00:00"),
        lambda text: re.sub(r"steps = .*\n", "", text),
        lambda text: text.replace("[[state.wished]]", "[[state.stopped]]"),
        lambda text: text.replace('key = "ease_spine"', "key = 1"),
        lambda text: text.replace('what = "deposit"', "what = 30"),
    ],
)
def test_what_no_agreement_can_say_is_refused_whatever_its_checksum(
    change: Callable[[str], str], tmp_path: Path
) -> None:
    path = tmp_path / "x.agreed.toml"
    path.write_text(forged(change), encoding="utf-8")
    assert forged(lambda text: text) == TEXT
    with pytest.raises(UnreadableFileError):
        read_agreed(path)


def test_a_file_of_the_first_format_is_read_and_compared(tmp_path: Path) -> None:
    """Such a file knew no terms, no steps that a wish asks for, and no ring round a fastener."""

    def older(text: str) -> str:
        text = text.replace(f"version = {VERSION}", "version = 1")
        text = re.sub(r"open_ring = .*\n", "", text)
        return re.sub(r"\[\[(?:state\.wished|signed\.terms)(?:\.\w+)*\]\]\n(?:[^\[\n].*\n|\n)*", "", text)

    path = tmp_path / "x.agreed.toml"
    path.write_text(forged(older), encoding="utf-8")
    agreed = read_agreed(path)
    assert (agreed.signed.terms, "wished" in agreed.state, VERSION) == ((), False, 2)
    for name, seen in (("another text", True), ("ring of glue round the tube", True), ("no change", False)):
        changed = agreed_design() if name == "no change" else SEEN[name][1](agreed_design())
        found = dataclasses.replace(changed, agreed=agreed).agreement
        assert isinstance(found, Compared)
        assert bool(found.seen) == seen


@given(st.binary(max_size=300), st.integers(0, len(TEXT) - 1))
@draws(50)
def test_no_bytes_bring_it_down(tmp_path_factory: pytest.TempPathFactory, junk: bytes, at: int) -> None:
    path = tmp_path_factory.mktemp("junk") / "x.agreed.toml"
    for data in (junk, TEXT.encode()[:at] + junk + TEXT.encode()[at:]):
        path.write_bytes(data)
        try:
            agreed = read_agreed(path)
        except UnreadableFileError:
            continue
        assert agreed_text(agreed) == TEXT


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="whoever may read everything")
def test_a_file_that_may_not_be_read_is_no_agreement(script: Path) -> None:
    script.with_suffix(".agreed.toml").chmod(0)
    assert isinstance(Design.from_script(script).agreed, Spoiled)


@pytest.mark.parametrize("where", ["customer", "maker", "note"])
def test_a_broken_letter_is_told_and_nothing_is_written(
    where: str, script: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """As the shell hands one over, from a terminal in another encoding."""
    path = script.with_suffix(".agreed.toml")
    before = path.read_bytes()
    told = {"customer": "Ada", "maker": "Bo", "note": "x"} | {where: "M\udcfcller"}
    options = [f"--{key}={value}" for key, value in told.items()]
    signed = ["agree", str(script), "--signed=on paper", "--date=2026-04-03", "--leave-open", "--again", *options]
    assert main(signed) == 2
    error = capsys.readouterr().err
    assert "M\\udcfcller" in error
    assert error.count("\n") == 1
    assert path.read_bytes() == before


def test_a_folder_of_that_name_is_no_agreement(script: Path) -> None:
    path = script.with_suffix(".agreed.toml")
    path.unlink()
    path.mkdir()
    assert isinstance(Design.from_script(script).agreed, Spoiled)


def test_a_link_that_leads_nowhere_is_no_agreement(script: Path) -> None:
    path = script.with_suffix(".agreed.toml")
    path.unlink()
    path.symlink_to("gone.toml")
    assert isinstance(Design.from_script(script).agreed, Spoiled)


def test_the_command_line_tells_what_differs(script: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(script)]) == 0
    assert "agreed" not in capsys.readouterr().out
    assert main(["check", str(script), "blade_length=145"]) == 1
    out = capsys.readouterr().out
    assert "error [agreed-length] requirement 1 ('as long as my old one, 15 cm from the handle to the tip')" in out
    assert main(["order", str(script)]) == 0
    assert "agreement: agreed on 2026-03-09, on paper, by the bosun and the smith; the design is what was agreed" in (
        capsys.readouterr().out
    )
    assert main(["report", str(script), "thickness=2.2", "agreement"]) == 0
    assert "3 things differ that show" in capsys.readouterr().out


def test_a_cut_file_is_kept_back_until_it_is_allowed(script: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = script.parent / "out"
    asked = ["export", str(script), "thickness=2.2", "--out", str(out), "--paper", "A4"]
    assert main(asked) == 1
    assert "--allow agreed-shape --allow agreed-weight" in capsys.readouterr().out
    assert not list(out.glob("*.dxf"))
    assert main([*asked, "--allow", "agreed-shape", "--allow", "agreed-weight"]) == 0
    assert list(out.glob("*.dxf"))


def test_the_report_tells_how_it_stands(script: Path) -> None:
    assert report(Design(agreed_design().knife))["agreement"] is None
    told = report(Design.from_script(script, thickness=2.2))["agreement"]
    assert (told["customer"], told["date"], told["order"]) == ("the bosun", "2026-03-09", "S-12/1")
    assert {each["kind"] for each in told["seen"]} == {"shape", "weight"}
    script.with_suffix(".agreed.toml").write_text("")
    assert "the file is empty" in report(Design.from_script(script))["agreement"]["words"]


@pytest.mark.parametrize("wrong", [{"customer": " "}, {"maker": ""}, {"how": "by pigeon"}, {"date": "yesterday"}])
def test_a_signature_says_who_when_and_how(wrong: dict[str, Any]) -> None:
    with pytest.raises(BladegeomError):
        dataclasses.replace(SIGNED, **wrong)


@pytest.mark.parametrize("amount", ["-1", "1e3", "", "12.1234567", "much"])
def test_an_amount_is_a_decimal(amount: str) -> None:
    with pytest.raises(BladegeomError):
        AgreedPrice(amount=amount, currency="EUR")
