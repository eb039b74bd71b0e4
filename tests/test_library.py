"""What the command line can do, Python can do in one call: the same bytes, the same refusals, and nothing printed."""

from __future__ import annotations

import dataclasses
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import specimens

import bladegeom
from bladegeom import (
    Design,
    ExportError,
    Files,
    NotReleasedError,
    ParameterError,
    Printer,
    ScriptError,
    UnknownNameError,
    bench_book,
    cut_files,
    difference,
    export,
    nest,
    nest_cut_files,
    nest_sheet,
    pages,
    preflight,
    quote,
    quote_sheet,
    quote_words,
    report,
    script_sweep,
    template,
)
from bladegeom.cli import main
from bladegeom.knife.hole import Hole
from bladegeom.nesting.nest_stock import StockPiece
from bladegeom.sheets.nest_drawing import blank_of

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
sys.path.insert(0, str(EXAMPLES))

from export_all import export_example  # noqa: E402

PETTY = EXAMPLES / "galley_petty.py"
RIGGING = EXAMPLES / "rigging_knife.py"
KINDLING = EXAMPLES / "kindling_knife.py"


@pytest.fixture(scope="module")
def petty() -> Design:
    return Design.from_script(PETTY)


@pytest.fixture(scope="module")
def rigging() -> Design:
    return Design.from_script(RIGGING)


@pytest.fixture(scope="session")
def exported_files(once_a_session: Callable[[str, Callable[[Path], None]], Path]) -> dict[str, bytes]:
    """What the command writes of the rigging knife."""

    def fill(folder: Path) -> None:
        assert export_example(RIGGING, folder) == 0

    return contents(once_a_session(RIGGING.stem, fill))


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def faulty() -> Design:
    """A knife with an error: a hole nearer to the outline than the rules allow."""
    return Design(specimens.drop_point(holes=(Hole(x=-30.0, y=-2.0, diameter=5.0, purpose="lightening"),)))


def test_an_export_has_the_bytes_of_the_command(
    rigging: Design, exported_files: dict[str, bytes], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    written = export(rigging, tmp_path, papers=("A4", "Letter"))
    assert capsys.readouterr() == ("", "")
    assert contents(tmp_path) == exported_files
    assert set(written) == set(tmp_path.iterdir())


def test_single_pages_are_those_of_the_export(
    rigging: Design, exported_files: dict[str, bytes], tmp_path: Path
) -> None:
    (written,) = pages(rigging, "book").save(tmp_path / "book.pdf")
    book = next(data for name, data in exported_files.items() if name.endswith("_book_A4.pdf"))
    assert written.read_bytes() == book
    (steel,) = cut_files(rigging)["steel"].save(tmp_path / "part.dxf")
    assert steel.read_bytes() in exported_files.values()
    assert template(rigging).pdf == pages(rigging, "template").pdf


def test_what_is_saved_is_what_the_commands_write(petty: Design, tmp_path: Path) -> None:
    main(["book", str(PETTY), "--paper", "Letter", "--out", str(tmp_path / "book")])
    assert dict(bench_book(petty, papers=("Letter",))) == contents(tmp_path / "book")


def test_the_report_is_the_commands(petty: Design, capsys: pytest.CaptureFixture[str]) -> None:
    main(["report", str(PETTY), "--json"])
    assert capsys.readouterr().out == bladegeom.as_json(report(petty))


def test_a_quote_is_the_commands(petty: Design, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    prices = EXAMPLES / "prices.toml"
    main(["quote", str(PETTY), "--prices", str(prices), "--copies", "3", "--out", str(tmp_path / "command.pdf")])
    made = quote(petty, prices, copies=3)
    (written,) = quote_sheet(made).save(tmp_path / "python.pdf")
    assert capsys.readouterr().out.startswith(quote_words(made))
    assert written.read_bytes() == (tmp_path / "command.pdf").read_bytes()


def test_a_difference_is_the_commands(petty: Design, capsys: pytest.CaptureFixture[str]) -> None:
    other = Design.from_script(PETTY, thickness=2.2)
    main(["differ", str(PETTY), "thickness=2.2"])
    assert [line.strip() for line in capsys.readouterr().out.splitlines()[1:]] == list(difference(petty, other))
    assert difference(petty, petty) == ()


def test_preflight_is_the_commands(petty: Design, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (path,) = cut_files(petty)["steel"].save(tmp_path / "part.dxf")
    found = preflight(path, design=petty)
    status = main(["preflight", str(path), "--design", str(PETTY)])
    told = capsys.readouterr().out
    assert status == 0
    assert all(finding.message in told for finding in found.findings)
    assert found.off is not None
    assert found.off.greatest < 0.011


def test_a_nest_is_the_commands(petty: Design, tmp_path: Path) -> None:
    call = ["nest", str(PETTY), "--copies", "2", "--bar", "60 x 700"]
    main([*call, "--out", str(tmp_path / "c.pdf"), "--dxf", str(tmp_path / "c.dxf")])
    done = nest([blank_of(petty.knife, copies=2)], StockPiece(length=700.0, width=60.0))
    nest_sheet(done, [petty]).save(tmp_path / "p.pdf")
    nest_cut_files(done, [petty])[0].save(tmp_path / "p.dxf")
    for ending in ("pdf", "dxf"):
        assert (tmp_path / f"p.{ending}").read_bytes() == (tmp_path / f"c.{ending}").read_bytes()


def test_a_sweep_is_the_commands(tmp_path: Path) -> None:
    out = ("--out", str(tmp_path / "c.csv"), "--plot", str(tmp_path / "c.svg"))
    main(["sweep", str(KINDLING), "thickness=4,5", "--jobs", "1", *out])
    job = script_sweep(KINDLING, {"thickness": (4.0, 5.0)}, jobs=1)
    rows = job.save(tmp_path / "p.csv")
    job.chart(rows).save(tmp_path / "p.svg")
    assert [row.failed for row in rows] == [False, False]
    for ending in ("csv", "svg"):
        assert (tmp_path / f"p.{ending}").read_bytes() == (tmp_path / f"c.{ending}").read_bytes()
    assert job.save(tmp_path / "p.csv") == rows


def test_an_error_keeps_the_cut_file_back_until_it_is_allowed(tmp_path: Path) -> None:
    design = faulty()
    code = design.errors[0].code
    with pytest.raises(NotReleasedError) as caught:
        cut_files(design)
    assert code in caught.value.codes
    written = export(design, tmp_path, papers=("A4",))
    assert not design.released
    assert not [path for path in written if path.suffix == ".dxf"]
    allowed = design.allowing(*caught.value.codes)
    assert allowed.released
    assert set(cut_files(allowed)) >= {"steel"}
    assert allowed.remarks[0].startswith("Released with")


def test_what_allows_nothing_is_told() -> None:
    with pytest.raises(ExportError, match="no error to allow"):
        _ = Design(specimens.drop_point()).allowing("rim").released
    with pytest.raises(UnknownNameError, match="error of this design"):
        _ = faulty().allowing("no-such-code").remarks


def test_nothing_is_written_over_that_is_no_page(petty: Design, tmp_path: Path) -> None:
    script = tmp_path / "knife.pdf"
    script.write_text("name = 'mine'")
    with pytest.raises(ExportError, match="not written over"):
        template(petty).save(script)
    assert script.read_text() == "name = 'mine'"
    with pytest.raises(ExportError, match=r"ends with \.pdf or \.svg"):
        template(petty).save(tmp_path / "knife.py")
    with pytest.raises(ExportError, match=r"ends with \.dxf"):
        cut_files(petty)["steel"].save(tmp_path / "knife.pdf")


def test_files_are_written_whole_or_not_at_all(tmp_path: Path) -> None:
    (tmp_path / "b.txt").mkdir()
    with pytest.raises(ExportError):
        Files({"a.txt": b"a", "b.txt": b"b"}).save(tmp_path)
    assert not (tmp_path / "a.txt").exists()


def test_a_script_is_told_in_the_words_of_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for text in ("x = 1", "def design(a: float = 1.0):\n    return 1 / 0", PETTY.read_text() + "\nWORK = 'soon'\n"):
        script = tmp_path / "k.py"
        script.write_text(text)
        with pytest.raises(ScriptError) as caught:
            Design.from_script(script)
        assert main(["check", str(script)]) == 2
        assert capsys.readouterr().err == f"bladegeom: {caught.value}\n"
    with pytest.raises(UnknownNameError, match="blade_length"):
        Design.from_script(PETTY, blade_lenght=120.0)


WRONG = (
    lambda: Design(None),  # type: ignore[arg-type]
    lambda: Design(specimens.drop_point(), order="soon"),  # type: ignore[arg-type]
    lambda: Design(specimens.drop_point(), allowed="rim"),  # type: ignore[arg-type]
    lambda: bladegeom.check(None),  # type: ignore[arg-type]
    lambda: bladegeom.weigh("knife"),  # type: ignore[arg-type]
    lambda: report(specimens.drop_point()),  # type: ignore[arg-type]
    lambda: export("x", "out"),  # type: ignore[arg-type]
    lambda: export(Design(specimens.drop_point()), "out", papers="A4"),
    lambda: Files({}).save(None),  # type: ignore[arg-type]
    lambda: Design.from_script(None),  # type: ignore[arg-type]
    lambda: bladegeom.read_prices(None),  # type: ignore[arg-type]
    lambda: bladegeom.read_order(7),  # type: ignore[arg-type]
    lambda: script_sweep(None, {}),  # type: ignore[arg-type]
    lambda: template(specimens.drop_point()),  # type: ignore[arg-type]
    lambda: cut_files(specimens.drop_point()),  # type: ignore[arg-type]
    lambda: bench_book(None),  # type: ignore[arg-type]
    lambda: quote(specimens.drop_point(), "prices.toml"),  # type: ignore[arg-type]
    lambda: difference(specimens.drop_point(), specimens.drop_point()),  # type: ignore[arg-type]
    lambda: preflight(EXAMPLES / "none.dxf", design=specimens.drop_point()),  # type: ignore[arg-type]
    lambda: bladegeom.what_moves_balance(specimens.drop_point()),  # type: ignore[arg-type]
    lambda: bladegeom.route(None),  # type: ignore[arg-type]
    lambda: bladegeom.blank_of(None),  # type: ignore[arg-type]
    lambda: bladegeom.heat_treat_card(None),  # type: ignore[arg-type]
)


@pytest.mark.parametrize("call", WRONG)
def test_a_wrong_kind_is_refused_with_a_sentence(call: Any) -> None:
    with pytest.raises(ParameterError, match="must be"):
        call()


def test_values_show_themselves_in_a_notebook(petty: Design) -> None:
    done = nest([blank_of(petty.knife)], StockPiece(length=400.0, width=60.0))
    page = template(petty)
    for shown in (petty.knife.outline, petty.knife, page, page.sheets[0], page.sheets[0].drawing, done):
        picture = shown._repr_svg_()
        assert picture.startswith("<svg")
        assert "<path" in picture


def test_findings_show_themselves_and_stay_a_tuple() -> None:
    found = faulty().findings
    assert found == tuple(found)
    assert ">error</td>" in found._repr_html_()
    bad = bladegeom.Findings([dataclasses.replace(found[0], message="<script>alert(1)</script>")])
    assert "<script>" not in bad._repr_html_()
    assert "no findings" in bladegeom.Findings()._repr_html_()


def test_a_page_is_drawn_for_one_printer(petty: Design) -> None:
    printer = Printer(across=99.6, along=100.2)
    assert template(petty, printer=printer).pdf != template(petty).pdf


def test_the_version_is_told_by_all_doors(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(["--version"])
    assert left.value.code == 0
    assert capsys.readouterr().out == f"bladegeom {bladegeom.__version__}\n"
