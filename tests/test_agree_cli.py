"""Agreeing on the command line: the page, what is asked before it counts as agreed, and what is kept."""

from __future__ import annotations

import os
from datetime import date
from pathlib import Path

import pytest
from test_order_cli import SCRIPT

from bladegeom import Answered, Signed, read_agreed
from bladegeom.cli import main

ROOT = Path(__file__).resolve().parent.parent

ORDER = """number = "S-1"
customer = "the ship's cook"
date = 2026-03-02

[[requirement]]
number = 1
text = "Carved surface"
concerns = "surface"
met = { feature = "texture", PLACE }

[[requirement]]
number = 2
text = "as long as my hand"
concerns = "blade"
met = { measure = "blade length", nominal = 110, tolerance = 1 }
"""

TEXTURED = SCRIPT.replace(
    "rough_edge=0.8)", "rough_edge=0.8)\n    texture = TextureZone(start=30.0, end=70.0, depth=0.3)"
)
TEXTURED = TEXTURED.replace("grind=grind)", "grind=grind, zones=(texture,))")
SIGNED = ("--maker", "the smith", "--date", "2026-04-03")


def written(folder: Path, place: str = 'side = "both"') -> str:
    script = folder / "knife.py"
    script.write_text(TEXTURED)
    (folder / "knife.order.toml").write_text(ORDER.replace("PLACE", place))
    return str(script)


@pytest.fixture
def open_script(tmp_path: Path) -> str:
    return written(tmp_path)


@pytest.fixture
def script(tmp_path: Path) -> str:
    return written(tmp_path, 'place = "blade"')


def test_the_page_is_written_for_each_paper(
    open_script: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    assert main(["agree", open_script, "--out", str(out), "--paper", "A4", "--paper", "Letter"]) == 0
    names = ["ordered_rev-A_agreement.html", "ordered_rev-A_agreement_A4.pdf", "ordered_rev-A_agreement_Letter.pdf"]
    assert sorted(path.name for path in out.iterdir()) == names
    assert "1 question to answer on the page: A" in capsys.readouterr().out
    assert not (tmp_path / "knife.agreed.toml").exists()


def test_what_is_missing_is_asked_for_in_one_sentence(script: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["agree", script, "--signed"]) == 2
    told = capsys.readouterr().err
    assert told.count("\n") == 1
    for word in ("--signed 'on paper'", "--maker NAME", "--date YYYY-MM-DD"):
        assert word in told
    assert "--customer" not in told
    assert main(["agree", script, "--signed", "on papyrus", *SIGNED]) == 2
    assert "did you mean 'on paper'" in capsys.readouterr().err
    assert main(["agree", script, "--signed", "on paper", "--maker", "the smith", "--date", "3 April"]) == 2
    assert "2026-03-05" in capsys.readouterr().err


def test_what_was_signed_is_written_down(script: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["agree", script, "--signed", "on paper", *SIGNED, "--note", "at the harbour"]) == 0
    assert "agreed on 2026-04-03, on paper, by the ship's cook and the smith" in capsys.readouterr().out
    signed = read_agreed(tmp_path / "knife.agreed.toml").signed
    assert signed == Signed(
        customer="the ship's cook", maker="the smith", date=date(2026, 4, 3), how="on paper", note="at the harbour"
    )
    assert main(["check", script]) == 0
    assert "agreed-" not in capsys.readouterr().out


def test_the_maker_of_the_settings_signs_where_no_option_names_another(
    script: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings, agreed = tmp_path / "settings.toml", tmp_path / "knife.agreed.toml"
    settings.write_text('[bladegeom]\nmaker = "the smith of the settings"\n')
    monkeypatch.setenv("BLADEGEOM_SETTINGS", str(settings))
    assert main(["agree", script, "--out", str(tmp_path / "out"), "--paper", "A4"]) == 0
    (page,) = (tmp_path / "out").glob("*.html")
    assert "the smith of the settings" in page.read_text()
    assert main(["agree", script, "--signed", "on paper", "--date", "2026-04-03"]) == 0
    assert read_agreed(agreed).signed.maker == "the smith of the settings"
    assert main(["agree", script, "--signed", "on paper", *SIGNED, "--again"]) == 0
    assert read_agreed(agreed).signed.maker == "the smith"


def test_nothing_is_agreed_while_a_must_is_open(
    open_script: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    agreed = tmp_path / "knife.agreed.toml"
    assert main(["agree", open_script, "--signed", "on paper", *SIGNED]) == 2
    assert "'Carved surface'" in (told := capsys.readouterr().err).replace("“", "'").replace("”", "'")
    assert "--answer 'A=...'" in told
    assert not agreed.exists()
    assert main(["agree", open_script, "--signed", "on paper", *SIGNED, "--answer", "B=on the blade"]) == 2
    assert "'B'" in capsys.readouterr().err
    assert main(["agree", open_script, "--signed", "on paper", *SIGNED, "--answer", "on the blade"]) == 2
    assert "LETTER=ANSWER" in capsys.readouterr().err
    assert main(["agree", open_script, "--signed", "on paper", *SIGNED, "--answer", "a=on both"]) == 0
    assert "into the order" in capsys.readouterr().out
    (answer,) = read_agreed(agreed).signed.answers
    assert answer == Answered(question="To number 1, “Carved surface”: where?", answer="on both")
    assert main(["agree", open_script, "--signed", "by letter", *SIGNED, "--leave-open", "--again"]) == 0
    assert read_agreed(agreed).signed.answers == ()


def test_an_older_agreement_is_never_lost(script: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    agreed = tmp_path / "knife.agreed.toml"
    again = ["agree", script, "--signed", "on paper", *SIGNED]
    assert main(again) == 0
    first = agreed.read_bytes()
    assert main([*again, "--note", "anew"]) == 2
    assert "--again" in capsys.readouterr().err
    assert agreed.read_bytes() == first
    assert main([*again, "--again", "--note", "anew"]) == 0
    assert (tmp_path / "knife.agreed-2026-04-03.toml").read_bytes() == first
    second = agreed.read_bytes()
    assert main([*again, "--again", "--note", "once more"]) == 0
    assert (tmp_path / "knife.agreed-2026-04-03-2.toml").read_bytes() == second
    agreed.write_bytes(b"\xff nothing of ours")
    assert main([*again, "--again"]) == 0
    assert (tmp_path / "knife.agreed-older.toml").read_bytes() == b"\xff nothing of ours"


@pytest.mark.parametrize("kind", ["pipe", "device", "far too long"])
def test_what_can_be_no_older_agreement_is_not_waited_for_nor_read_to_its_end(
    kind: str, script: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    agreed = tmp_path / "knife.agreed.toml"
    if kind == "pipe":
        os.mkfifo(agreed)
    elif kind == "device":
        agreed.symlink_to("/dev/zero")
    else:
        agreed.write_bytes(b"#" * 2_000_001)
    before = agreed.lstat()
    assert main(["agree", script, "--signed", "on paper", *SIGNED, "--again"]) == 2
    assert "knife.agreed.toml" in capsys.readouterr().err
    assert main(["check", script]) == 1
    assert "agreement-unread" in capsys.readouterr().out
    assert agreed.lstat().st_mtime_ns == before.st_mtime_ns
    assert list(tmp_path.glob("*.agreed*")) == [agreed]


def test_the_price_is_told_and_agreed_only_where_it_is_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    script = tmp_path / "galley_petty.py"
    for name in ("galley_petty.py", "galley_petty.order.toml"):
        (tmp_path / name).write_text((ROOT / "examples" / name).read_text())
    prices = str(ROOT / "examples" / "prices.toml")
    with pytest.raises(SystemExit):
        main(["agree", str(script), "--price", "--setting", "units=mm"])
    assert "--prices FILE.toml" in capsys.readouterr().err
    assert main(["agree", str(script), "--signed", "on paper", *SIGNED, "--prices", prices]) == 0
    price = read_agreed(tmp_path / "galley_petty.agreed.toml").signed.price
    assert price is not None
    assert price.words == "1049.58 EUR"


def petty_in(folder: Path) -> str:
    for name in ("galley_petty.py", "galley_petty.order.toml", "prices.toml"):
        (folder / name).write_text((ROOT / "examples" / name).read_text())
    return str(folder / "galley_petty.py")


def test_quote_and_differ_tell_in_one_line_where_the_design_left_what_was_agreed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    script, prices = petty_in(tmp_path), str(tmp_path / "prices.toml")

    def told(*words: str) -> list[list[str]]:
        capsys.readouterr()
        assert main(list(words)) == 0
        out, err = capsys.readouterr()
        return [[line for line in text.splitlines() if line.startswith("agreement:")] for text in (out, err)]

    quoting = ("quote", script, "--prices", prices)
    assert told(*quoting) == [[], []]
    assert main(["agree", script, "--signed", "on paper", *SIGNED, "--prices", prices]) == 0
    assert told(*quoting) == [[], []]
    assert told("differ", script, "slab=NEMA L") == [
        [
            "agreement: agreed on 2026-04-03, on paper, by the ship's cook and the smith; 3 things differ that show "
            "(bladegeom check tells more)"
        ],
        [],
    ]
    assert told("differ", script, "height=29") == [[], []]
    dearer = tmp_path / "dearer.toml"
    dearer.write_text((tmp_path / "prices.toml").read_text().replace("margin_percent = 15", "margin_percent = 30"))
    (line,), nothing = told("quote", script, "--prices", str(dearer))
    assert nothing == []
    words = "the design is what was agreed; the price of 1049.58 EUR stands, by your list it comes to 11"
    assert line.partition("; ")[2].startswith(words)
    dearer.write_text((tmp_path / "prices.toml").read_text().replace("fee = 15.00", "fee = 25.00"))
    (line,), _ = told("quote", script, "--prices", str(dearer))
    words = "written description is confirmed 15.00 EUR; now: 25.00 EUR (bladegeom check tells more)"
    assert "; 1 thing differs that shows; agreed: fee" in line
    assert line.endswith(words)
    nothing, (aside,) = told(*quoting, "thickness=2.5", "--customer")
    assert (nothing, "differ that show" in aside) == ([], True)
    assert told(*quoting, "--copies", "3") == [[], []]
    (tmp_path / "galley_petty.agreed.toml").write_text("")
    (spoiled,), _ = told(*quoting)
    assert spoiled.startswith("agreement: nothing is agreed: galley_petty.agreed.toml, the file is empty")


@pytest.mark.parametrize(
    "option", [("--note", "x"), ("--again",), ("--leave-open",), ("--answer", "A=x"), ("--customer", "y")]
)
def test_what_goes_with_a_signature_is_refused_without(
    option: tuple[str, ...], script: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit):
        main(["agree", script, *option])
    assert f"{option[0]} goes with --signed" in capsys.readouterr().err
