"""Tables from files: each slip is told with its line, and one place in the house knows how to read them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

import pytest
from refusals import refusal, unknown

from bladegeom.quantities.csv_table import csv_rows, loose_rows
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.file_errors import UnreadableFileError
from bladegeom.quantities.table_values import value_from_table
from bladegeom.quantities.text_file import TextFile, decoded
from bladegeom.quantities.toml_table import TomlTable, read_toml

PACKAGE = Path(__file__).resolve().parents[1] / "bladegeom"
MOST = 1000


def csv_of(text: str) -> TextFile:
    return TextFile("t.csv", text)


def toml_of(folder: Path, text: str) -> TomlTable:
    path = folder / "t.toml"
    path.write_text(text, encoding="utf-8")
    return read_toml(path, most_bytes=MOST, advice="make it shorter")


def test_only_the_reader_knows_the_formats() -> None:
    """What grows a sweep's own file row by row writes CSV too, and reads back the rows that it wrote."""
    knows = {
        path.relative_to(PACKAGE).as_posix()
        for path in PACKAGE.rglob("*.py")
        if re.search(r"^\s*(import|from) (tomllib|csv)\b", path.read_text(encoding="utf-8"), re.MULTILINE)
    }
    assert knows == {
        "quantities/csv_table.py",
        "quantities/toml_lines.py",
        "quantities/toml_table.py",
        "writers/sweep_csv.py",
    }


def test_rows_by_their_columns() -> None:
    text = '# by hand\na,b\n\n1, "x, ""y"""\n2,"over\ntwo lines"\n3,z\n'
    rows = csv_rows(csv_of(text), remark="#")
    assert [row.cells for row in rows] == [
        {"a": "1", "b": 'x, "y"'},
        {"a": "2", "b": "over\ntwo lines"},
        {"a": "3", "b": "z"},
    ]
    assert [row.line for row in rows] == [4, 5, 7]
    assert rows[0].number("a") == 1.0


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("", None, "its first line must name the columns"),
        ("a,b\n1,2,3\n", 2, "has 3 cells, and needs 2: a,b"),
        ("a,b\n\n1\n", 3, "has 1 cells, and needs 2"),
        ('a,b\n1,"open\n2,3\n', 2, "is no CSV"),
        ('a,b\n1,"x" y\n', 2, "is no CSV"),
    ],
)
def test_slips_in_csv(text: str, line: int | None, words: str) -> None:
    with pytest.raises(UnreadableFileError) as caught:
        csv_rows(csv_of(text))
    assert caught.value.line == line
    assert words in str(caught.value)


def test_a_cell_that_is_no_number() -> None:
    (row,) = csv_rows(csv_of("a\nten\n"))
    with pytest.raises(UnreadableFileError, match="line 2: a is 'ten'"):
        row.number("a")


def test_numbers_as_instruments_write_them() -> None:
    assert list(loose_rows(csv_of("x y\n\n1;2\n3.5\t-4\n5, 6, a note\n7 8;9\n"))) == [
        (1, ["x", "y"]),
        (3, ["1", "2"]),
        (4, ["3.5", "-4"]),
        (5, ["5", "6", "a", "note"]),
        (6, ["7", "8", "9"]),
    ]
    for decimal_comma in ("1,5;2", "1; 2,25", "-,5;3"):
        with pytest.raises(UnreadableFileError, match="commas within its numbers"):
            list(loose_rows(csv_of(decimal_comma)))


def test_marks_and_line_ends() -> None:
    assert decoded("t", b"\xef\xbb\xbfa\r\nb\n") == TextFile("t", "a\nb\n")
    with pytest.raises(UnreadableFileError, match=r"^t, line 2: .* UTF-8, byte 0xe9"):
        decoded("t", b"a\r\ncaf\xe9\r\n")
    with pytest.raises(UnreadableFileError, match="UTF-16"):
        decoded("t", "a = 1".encode("utf-16"))


@dataclass(frozen=True, kw_only=True)
class Tin:
    """Something to declare."""

    size: float
    words: str = ""

    def __post_init__(self) -> None:
        if not self.size > 0:
            raise ParameterError("tin: size", self.size, "be > 0 mm")


def tins(folder: Path, text: str) -> list[Tin]:
    return [
        value_from_table(table, Tin, f"tin {i}") for i, table in enumerate(toml_of(folder, text).tables("tin"), start=1)
    ]


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("[[tin]]\nsize = 1\n[[tin]]\nwords = 'x'\n", 3, "tin 2 lacks size"),
        (
            "[[tin]]\nsize = 1\n[[tin]]\nsize = 2\n\nwodrs = 'x'\n",
            6,
            unknown("key of tin 2", "wodrs", "words"),
        ),
        ("[[tin]]\nwords = '''\nsize = 2\n'''\nsize = 0\n", 5, "tin 1: " + refusal("tin: size", 0)),
        ("[tin]\nsize = 1\n", 1, "write [[tin]], with two brackets each"),
        ("tin = [1]\n", 1, "write [[tin]]"),
        ("a = 1\nb = \n", 2, "is no TOML as it stands"),
        ("a = " + "9" * 800 * 6, None, "is larger than 0.001 MB; make it shorter"),
    ],
)
def test_slips_in_toml(text: str, line: int | None, words: str, tmp_path: Path) -> None:
    with pytest.raises(UnreadableFileError) as caught:
        tins(tmp_path, text)
    assert caught.value.line == line
    assert words in str(caught.value)


def test_a_field_by_the_name_that_the_file_has_for_it(tmp_path: Path) -> None:
    table = toml_of(tmp_path, "wide = 3\n")
    assert value_from_table(table, Tin, "tin", called={"size": "wide"}) == Tin(size=3)
    with pytest.raises(UnreadableFileError, match=r"line 1: .*key of the tin .*'wide'"):
        value_from_table(table, Tin, "tin")
    assert value_from_table(table, Tin, "tin", called={"size": "wide"}, made={"size": 5.0}) == Tin(size=5.0)


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_lines_end_as_on_any_system(end: str) -> None:
    """Source of the three: The Unicode Standard, section 5.8, newline guidelines."""
    data = end.join(("a,b", "1,2", "", '"3', '4",5', "6", "")).encode()
    with pytest.raises(UnreadableFileError) as caught:
        csv_rows(decoded("t.csv", data))
    assert caught.value.line == 6
    assert [row.cells["b"] for row in csv_rows(decoded("t.csv", data[: -1 - len(end)]))] == ["2", "5"]
    with pytest.raises(UnreadableFileError) as caught:
        decoded("t.csv", data + b"\xe9")
    assert caught.value.line == 7


def test_a_table_parted_by_semicolons_is_told_so() -> None:
    for text, is_told in (("a;b\n1;2\n", True), ("a,c\n1,2\n", False)):
        with pytest.raises(UnreadableFileError) as caught:
            csv_rows(csv_of(text), ("a", "b"))
        assert ("semicolons" in str(caught.value)) == is_told
