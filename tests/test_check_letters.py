"""Texts that no page can show are errors, wherever they are declared; a mark's stands at its place."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from dataclasses import replace

import orders
import pytest
import specimens
from hypothesis import given
from hypothesis import strategies as st

from bladegeom.checks.letters import check_letters
from bladegeom.curves.curve import Curve
from bladegeom.knife.finding import Finding
from bladegeom.knife.knife import Knife
from bladegeom.knife.zone import MarkZone
from bladegeom.quantities.errors import LetterError
from bladegeom.quantities.face import face
from bladegeom.quantities.lettering import lacking, one_line
from bladegeom.quantities.materials import material
from bladegeom.signoff.check_order import check_order

MARK = MarkZone(x=60.0, y=-5.0, width=12.0, height=5.0, text="Ji\u0159\u00ed \u0150", side="left")


def knife(**changes: object) -> Knife:
    return replace(specimens.drop_point(), **changes)  # type: ignore[arg-type]


def test_latin_greek_and_cyrillic_are_no_finding() -> None:
    assert (
        list(
            check_letters(
                knife(name="Ji\u0159\u00ed \u0150, \u039a\u03ce\u03c3\u03c4\u03b1, \u041d\u043e\u0436", zones=(MARK,))
            )
        )
        == []
    )


@pytest.mark.parametrize(("text", "letter"), [("\u5305\u4e01", "U+5305"), ("\u05e9", "U+05E9"), ("x\u030c", "U+030C")])
def test_a_mark_that_cannot_be_printed_is_an_error_at_its_place(text: str, letter: str) -> None:
    found = list(check_letters(knife(zones=(replace(MARK, text=text),))))
    assert [(finding.severity, finding.x, finding.y) for finding in found] == [("error", 60.0, -5.0)]
    assert letter in found[0].message


def test_every_declared_text_is_looked_at() -> None:
    own = dataclasses.replace(material("1084"), name="\u7389\u92fc")
    base = specimens.drop_point()
    made = replace(base, name="\u5305", revision="\u4e01", stock=replace(base.stock, steel=own))
    assert {finding.message.partition(" '")[0] for finding in check_letters(made)} >= {"name", "revision"}
    assert any("\u7389 (U+7389)" in finding.message and "stock" in finding.message for finding in check_letters(made))


def test_an_order_with_such_a_text_is_an_error_that_names_the_field() -> None:
    order, made = orders.rich(), orders.knife()
    clean = {finding.code for finding in check_order(order, made)}
    assert "letter-missing" not in clean
    found = [
        finding for finding in check_order(replace(order, customer="\u5305"), made) if finding.code == "letter-missing"
    ]
    assert [(finding.severity, finding.part) for finding in found] == [("error", "order")]
    assert found[0].message.startswith("customer ")


def test_the_finding_says_what_the_error_says() -> None:
    (finding,) = check_letters(knife(name="\u5305"))
    assert isinstance(finding, Finding)
    assert finding.message.endswith(str(LetterError("\u5305", "\u5305")))


def texts_of(declared: object, where: str = "") -> Iterator[tuple[str, str]]:
    """Every text in what is declared with the way to it, each of them looked at."""
    if isinstance(declared, str):
        yield where, declared
    elif isinstance(declared, tuple):
        for i, item in enumerate(declared, start=1):
            yield from texts_of(item, f"{where} {i}")
    elif dataclasses.is_dataclass(declared) and not isinstance(declared, Curve):
        for field in dataclasses.fields(declared):
            name = field.name.replace("_", " ")
            yield from texts_of(getattr(declared, field.name), f"{where}, {name}" if where else name)


def test_the_face_has_every_letter_of_ascii() -> None:
    for code in range(128):
        assert lacking(chr(code)) == ()
        assert face().width(one_line(chr(code))) is not None


@given(st.text(), st.text())
def test_the_findings_are_those_of_looking_at_every_letter_of_every_text(name: str, revision: str) -> None:
    made = knife(name=f"K{name}", revision=f"A{revision}")
    expected = [
        f"{where} {LetterError(text, letters)}"
        for where, text in texts_of(made)
        if (letters := tuple(c for c in dict.fromkeys(one_line(text)) if face().width(c) is None))
    ]
    assert [finding.message for finding in check_letters(made)] == expected
