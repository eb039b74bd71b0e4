"""Price lists and logs from files, and the command quote: what is wrong is told in one sentence."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from refusals import refusal, unknown

from bladegeom.cli import main
from bladegeom.commands.starter import starter_prices
from bladegeom.importers.toml_outline import outline_from_toml
from bladegeom.importers.trace import points_from_csv
from bladegeom.order.order_toml import read_order
from bladegeom.price.price_list_toml import read_prices
from bladegeom.price.work_log import read_log
from bladegeom.quantities.file_errors import UnreadableFileError

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
PETTY = str(EXAMPLES / "galley_petty.py")
PRICES = str(EXAMPLES / "prices.toml")
STARTER_PRICES = starter_prices()


def lines_about(old: str, new: str) -> set[int | None]:
    """The lines of a slip in the starter list, and that of its table's head; None where it stands above all tables."""
    before = STARTER_PRICES[: STARTER_PRICES.index(old)].split("\n")
    heads = [n for n, line in enumerate(before[:-1], start=1) if line.startswith("[")]
    return {*range(len(before), len(before) + new.count("\n") + 1), max(heads, default=None)}


@pytest.mark.parametrize(("old", "new", "told"), [
    ("currency =", "currency", "is no TOML as it stands"),
    ('currency = "EUR"', "", "price list lacks currency"),
    ('currency = "EUR"', 'currency = " "', "currency"),
    ("date = 2026-03-01", "", "price list lacks date"),
    ("date = 2026-03-01", 'date = "yesterday"', "it must be a date without quotes"),
    ("date = 2026-03-01", "date = 2026-03-01T10:00:00", "it must be a date without quotes"),
    ("date = 2026-03-01", "date = 2026-02-31", "is no TOML as it stands"),
    ("hour_rate = 42.00", "hour_rate = -42.00", refusal("hour_rate", "-42.00")),
    ("hour_rate = 42.00", "hour_rate = nan", refusal("hour_rate", "NaN")),
    ("hour_rate = 42.00", "hour_rate = 1e999999", "hour_rate"),
    ("hour_rate = 42.00", 'hour_rate = "42 USD"', "all prices are in the one currency of the list"),
    ("hour_rate = 42.00", "hour_rate = true", "it must be a number, such as 12.50"),
    ("hour_rate = 42.00", "hourrate = 42.00", unknown("key of the price list", "hourrate", "hour_rate")),
    ("price = 31.00", 'price = 31.00\ncurrency = "USD"', "bar 1: currency stands once at the top"),
    ("price = 31.00", "price = 31.00\nprice_per_kg = 4", "price_per_kg"),
    ("price = 31.00", "", "price_per_kg"),
    ("price = 31.00", "prise = 31.00", unknown("key of bar 1", "prise", "price")),
    ('steel = "52100"', 'steel = "52l00"', "bar 4: " + unknown("material", "52l00")),
    ("height = 60", "height = 0", "bar 2: " + refusal("bar of 1.4116: height", "0 mm")),
    ('thickness = "5/32 in"', 'thickness = "5/32"', "bar 3: thickness: cannot read"),
    ("lasts_mm3 = 9000", "lasts_mm3 = 0", "consumable 1: " + refusal("consumable belts, coarse: lasts_mm3", "0")),
    ('grinding = "rough"\n\n[[consumable]]', 'grinding = "ruff"\n\n[[consumable]]', "be 'rough' or 'finish'"),
    ('covers = ["cut"]', 'covers = "cut"', "it must be a list of steps"),
    ("per_hole = 0.03", "", "have one of per_order, per_knife, per_hole, lasts_mm3"),
    ("validity_days = 30", "validity_days = 30.5", "validity_days"),
    ("deposit_percent = 40", "deposit_percent = 140", refusal("deposit_percent", "140 %")),
    ("round_to = 1 ", "round_to = 0.015 ", "be a multiple of coin, 0.01"),
    ('remnant = "kept"', 'remnant = "lost"', "be 'kept' or 'charged'"),
    ("least = 0\nmost = 95.00", "least = 96\nmost = 95.00", "be at most its most, 95.00"),
    ("[saw]", "[saws]", "did you mean '[saw]'"),
    ("[[gate]]", "[[gates]]", "did you mean '[[gate]]'"),
    ('"screw #4-40, 304, 3/8 in" = 0.30', '"screw #4-40, 304, 3/8 in" = -0.30', "hardware: screw #4-40"),
    ("[hardware]", "[[hardware]]", "must be a table of its own, [hardware]"),
])  # fmt: skip
def test_a_slip_in_a_price_list_is_one_sentence(old: str, new: str, told: str, tmp_path: Path) -> None:
    assert old in STARTER_PRICES
    path = tmp_path / "p.toml"
    path.write_text(STARTER_PRICES.replace(old, new))
    with pytest.raises(UnreadableFileError) as caught:
        read_prices(path)
    message = str(caught.value)
    assert message.startswith(str(path))
    assert caught.value.line in lines_about(old, new)
    assert told in message
    assert "\n" not in message


@pytest.mark.parametrize(("content", "told"), [
    (b"a = \xff", "line 1: the file is no text in UTF-8"),
    (b"", "validity_days, remnant, [saw]"),
    (b"bar = 3\n", "line 1: write [[bar]], with two brackets"),
    (b"x" * 1_000_001, "is larger than 1 MB"),
    (b"a = " + b"[" * 5000, "is "),
    (b"a = 1" + b"0" * 6000, "is no TOML"),
])  # fmt: skip
def test_what_is_no_price_list(content: bytes, told: str, tmp_path: Path) -> None:
    path = tmp_path / "p.toml"
    path.write_bytes(content)
    with pytest.raises(UnreadableFileError) as caught:
        read_prices(path)
    assert told in str(caught.value)
    with pytest.raises(UnreadableFileError, match="cannot be read"):
        read_prices(tmp_path / "none.toml")


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-8"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_a_mark_at_the_beginning_and_other_line_ends_change_nothing(encoding: str, end: str, tmp_path: Path) -> None:
    path = tmp_path / "p.toml"
    path.write_bytes(STARTER_PRICES.replace("\n", end).encode(encoding))
    plain = tmp_path / "plain.toml"
    plain.write_text(STARTER_PRICES, encoding="utf-8")
    assert read_prices(path) == read_prices(plain)


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-be", "utf-32", "latin-1"])
@pytest.mark.parametrize("read", [read_prices, read_order, outline_from_toml, read_log, points_from_csv])
def test_text_that_is_no_utf8_is_told_how_to_save(
    read: Callable[[Path], object], encoding: str, tmp_path: Path
) -> None:
    path = tmp_path / "p"
    path.write_bytes(("\ufeff" if encoding == "utf-16-be" else "").encode(encoding) + "note = 'café'".encode(encoding))
    with pytest.raises(UnreadableFileError, match="save it as UTF-8") as caught:
        read(path)
    assert caught.value.line == (1 if encoding == "latin-1" else None)
    path.write_bytes(b" " * 20_000_001)
    with pytest.raises(UnreadableFileError, match="is larger than"):
        read(path)
    path.unlink()
    with pytest.raises(UnreadableFileError, match="cannot be read"):
        read(path)


@given(data=st.data())
def test_a_mangled_list_is_refused_or_read(data: st.DataObject, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Whatever a slip of the keyboard does to a list, nothing but a UnreadableFileError comes of it."""
    at = data.draw(st.integers(0, len(STARTER_PRICES)))
    cut = data.draw(st.integers(0, 12))
    put = data.draw(st.text(max_size=6))
    path = tmp_path_factory.mktemp("m") / "p.toml"
    path.write_bytes((STARTER_PRICES[:at] + put + STARTER_PRICES[at + cut :]).encode(errors="replace"))
    try:
        prices = read_prices(path)
    except UnreadableFileError as error:
        assert str(path) in str(error)  # noqa: PT017
    else:
        assert prices.coin > 0


@pytest.mark.parametrize(("text", "told"), [
    ("", "its first line must name the columns: job,stage,removed_mm3,minutes"),
    ("job,stage,minutes\n", "its first line must name the columns"),
    ("job,stage,removed_mm3,minutes\na,rough,100\n", "3 cells, and needs 4"),
    ("# x\njob,stage,removed_mm3,minutes\na,ruff,100,5\n", "line 3: " + refusal("log, a: grinding", "'ruff'")),
    ("job,stage,removed_mm3,minutes\na,rough,ten,5\n", "line 2: " + refusal("removed_mm3", "'ten'")),
    ("job,stage,removed_mm3,minutes\na,rough,100,0\n", "line 2: " + refusal("log, a: minutes", "0")),
    ("job,stage,removed_mm3,minutes\na,rough,inf,5\n", "line 2: " + refusal("log, a: removed", "inf")),
])  # fmt: skip
def test_a_slip_in_a_log_names_its_line(text: str, told: str, tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_text(text)
    with pytest.raises(UnreadableFileError) as caught:
        read_log(path)
    assert told in str(caught.value)


def test_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Both copies, on the terminal and as PDF; the order beside the script says how many."""
    log = ["--log", str(EXAMPLES / "grinding_log.csv")]
    out = tmp_path / "q.pdf"
    assert main(["quote", PETTY, "--prices", PRICES, *log, "--out", str(out)]) == 0
    told = capsys.readouterr().out
    assert told.startswith("Quote: 2 x Galley petty, revision A")
    assert "FLOOR" in told
    assert out.read_bytes().startswith(b"%PDF")
    assert main(["quote", PETTY, "--prices", PRICES, *log, "--customer", "--copies", "3", "--paper", "Letter"]) == 0
    told = capsys.readouterr().out
    assert told.startswith("Offer: 3 x Galley petty, revision A")
    assert "FLOOR" not in told


def test_what_the_list_says_otherwise_stays_with_the_maker(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The order agrees on a deposit of 150, the list on 40 %."""
    assert main(["quote", PETTY, "--prices", PRICES]) == 0
    told = capsys.readouterr()
    assert "warning [quote-deposit]" in told.out
    assert told.err == ""
    assert main(["quote", PETTY, "--prices", PRICES, "--customer"]) == 0
    told = capsys.readouterr()
    assert "quote-deposit" not in told.out
    assert "deposit: as agreed, before the work begins" in told.out
    assert "warning [quote-deposit]" in told.err
    assert "warning [quote-budget]" in told.err
    assert "budget" not in told.out
    script = tmp_path / "petty.py"
    script.write_text(Path(PETTY).read_text())
    order = Path(PETTY).with_suffix(".order.toml").read_text()
    script.with_suffix(".order.toml").write_text(
        order.replace("deposit = 150", "deposit = 5000").replace("640", "6000")
    )
    assert main(["quote", str(script), "--prices", PRICES]) == 1
    assert "error [quote-deposit]" in capsys.readouterr().out


def test_an_incomplete_quote_is_no_success(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    short = tmp_path / "p.toml"
    short.write_text(STARTER_PRICES.replace('covers = ["sharpen"]', 'covers = ["whet"]'))
    assert main(["quote", PETTY, "--prices", str(short)]) == 1
    assert "step sharpen" in capsys.readouterr().out
    out = tmp_path / "c.pdf"
    assert main(["quote", PETTY, "--prices", str(short), "--customer", "--out", str(out)]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert "INCOMPLETE" in told.err
    assert "step sharpen" in told.err
    assert not out.exists()


def test_a_list_to_start_from(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "mine.toml"
    assert main(["quote", "--starter", str(path)]) == 0
    assert "invented" in capsys.readouterr().out
    assert "EVERY NUMBER HERE IS INVENTED" in path.read_text()
    assert read_prices(path).currency == "EUR"
    path.write_text("mine")
    assert main(["quote", "--starter", str(path)]) == 2
    assert path.read_text() == "mine"
    assert "exists already" in capsys.readouterr().err


@pytest.mark.parametrize("arguments", [["quote"], ["quote", PETTY], ["quote", PETTY, "--starter", "x.toml"]])
def test_bad_usage(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as caught:
        main(arguments)
    assert caught.value.code == 2
    assert "--starter" in capsys.readouterr().err


def test_a_quote_goes_to_a_pdf(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["quote", PETTY, "--prices", PRICES, "--out", str(tmp_path / "q.txt")]) == 2
    assert "ends with .pdf" in capsys.readouterr().err
