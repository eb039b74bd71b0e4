"""An order in a TOML file: read as it is meant; what is wrong is told in one sentence with its line."""

from __future__ import annotations

import contextlib
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from refusals import refusal, unknown

from bladegeom import Feature, Finish, HandCheck, MadeOf, Measured
from bladegeom.order.order_toml import MOST_BYTES, read_order
from bladegeom.quantities.file_errors import UnreadableFileError

HEAD = 'number = "S-1"\ncustomer = "the cook"\ndate = 2026-03-02\n'
WISH = '[[requirement]]\nnumber = 1\ntext = "long"\nconcerns = "blade"\n'
WAYS = """met = [
    { measure = "Blade length", low = "4 in", high = 110 },
    { feature = "mark", text = "DECK 1", side = "left" },
    { operation = "etch", finish = "dark" },
    { part = "steel", material = "1084" },
    { check = "looked at", signed = "the cook" },
]
"""


def written(folder: Path, text: str | bytes) -> Path:
    path = folder / "knife.order.toml"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def test_read_as_it_is_meant(tmp_path: Path) -> None:
    rest = (
        '[sheath]\nmaterial = "leather"\nside = "left"\nbelt = "1-1/2 in"\n[[change]]\ndate = 2026-03-05\ntext = "x"\n'
    )
    order = read_order(written(tmp_path, HEAD + WISH + WAYS + rest))
    assert (order.number, order.customer, order.date) == ("S-1", "the cook", date(2026, 3, 2))
    assert order.requirements[0].ways == (
        Measured(measure="blade length", low=101.6, high=110),
        Feature(what="mark", text="DECK 1", side="left"),
        Finish(operation="etch", finish="dark"),
        MadeOf(part="steel", material="1084"),
        HandCheck(look="looked at", signed="the cook"),
    )
    assert order.sheath is not None
    assert order.sheath.belt == pytest.approx(38.1)
    assert order.changes[0].answer == "open"


BAD = [
    ("", None, "lacks number, customer, date, [[requirement]]"),
    (HEAD + 'use = ["food"\n' + WISH, 5, "no TOML as it stands"),
    (HEAD + 'use = ["food"', 4, "no TOML as it stands"),
    (HEAD + 'number = "S-2"\n', 4, "no TOML as it stands"),
    (HEAD + 'custommer = "x"\n' + WISH, 4, "did you mean 'customer'"),
    (HEAD + WISH + 'weigth = "must"\n', 8, unknown("key of requirement 1", "weigth", "weight")),
    (HEAD + "requirements = []\n", 4, "did you mean '[[requirement]]'"),
    (HEAD + WISH.replace("[[requirement]]", "[requirement]"), 4, "with two brackets each"),
    (HEAD + WISH + '[[sheath]]\nmaterial = "x"\n', 8, "sheath must be a table of its own, [sheath]"),
    (HEAD.replace("2026-03-02", '"2 March"') + WISH, 3, "be a date of the calendar"),
    (HEAD.replace("2026-03-02", "2026-02-30") + WISH, 3, "Invalid date"),
    (HEAD.replace("2026-03-02", "2026-02-03T10:00:00") + WISH, 3, "without a time"),
    (HEAD + "needed_by = 2026-01-01\n" + WISH, 4, "not lie before the date of the order, 2026-03-02"),
    (HEAD + WISH + WISH, 9, "requirement 1 stands in the order twice"),
    (HEAD + WISH.replace("= 1", '= "1"'), 5, refusal("requirement: number", "'1'")),
    (HEAD + WISH.replace('concerns = "blade"\n', ""), 4, "requirement 1 lacks concerns"),
    (HEAD + WISH.replace('"blade"', '"balde"'), 7, "did you mean 'blade'"),
    (HEAD + WISH + 'weight = "should"\n', 8, refusal("requirement 1: weight", "'should'")),
    (HEAD + 'use = ["slising"]\n' + WISH, 4, "did you mean 'slicing'"),
    (HEAD + 'use = "slicing"\n' + WISH, 4, 'use = ["slicing", "food"]'),
    (HEAD + WISH + 'met = "blade length"\n', 8, "met must hold tables"),
    (HEAD + WISH + "met = { low = 3 }\n", 8, "names none of them (low)"),
    (HEAD + WISH + 'met = { measure = "mass", feature = "mark" }\n', 8, "names measure and feature"),
    (HEAD + WISH + 'met = { measure = "mass", hight = 3 }\n', 8, "did you mean 'high'"),
    (HEAD + WISH + 'met = { measure = "mass", high = nan }\n', 8, refusal("measured: high", "nan")),
    (HEAD + WISH + 'met = { measure = "mass", high = "180 g" }\n', 8, "be a bare number, in g"),
    (HEAD + WISH + 'met = { measure = "mass" }\n', 8, "be low, high, or nominal"),
    (HEAD + WISH + 'met = { measure = "mass", nominal = 180 }\n', 8, "how far off the nominal"),
    (HEAD + WISH + 'met = { measure = "mass", low = 180, high = 90 }\n', 8, "be at most high, 90"),
    (HEAD + WISH + 'met = { feature = "lanyrd" }\n', 8, "did you mean 'lanyard'"),
    (HEAD + WISH + 'met = { feature = "mark", cord = 3 }\n', 8, "go with lanyard"),
    (HEAD + WISH + 'met = { feature = "mark", place = "blade" }\n', 8, "go with texture"),
    (HEAD + WISH + 'met = { feature = "texture", place = "tang" }\n', 8, refusal("feature texture: place", "'tang'")),
    (HEAD + WISH + 'met = { check = "look" }\n', 8, "requirement 1, check lacks signed"),
    (HEAD + 'gloves = "yes"\n' + WISH, 4, "gloves = true"),
    (HEAD + "quantity = 2.5\n" + WISH, 4, refusal("order: quantity", 2.5)),
    (HEAD + 'hand = "leftt"\n' + WISH, 4, refusal("order: hand", "'leftt'")),
    (HEAD + 'hand_breadth = "88 furlong"\n' + WISH, 4, "the unit 'furlong' is none of"),
    (HEAD + WISH + '[payment]\nbudget = "much"\n', 9, refusal("payment: budget", "'much'")),
    (HEAD + WISH + "[lead]\nqueue = -3\n", 9, refusal("lead time: queue", "-3 days")),
    (
        HEAD + WISH + '[[change]]\ndate = 2026-03-04\ntext = "x"\nanswer = "maybe"\n',
        11,
        refusal("change of 2026-03-04: answer", "'maybe'"),
    ),
    (HEAD + WISH + '[[reference]]\nwhat = "x"\nliked = "shape"\n', 10, 'liked = ["shape"]'),
    ((HEAD + 'note = "caf\xe9"\n').encode("latin-1"), 4, "save it as UTF-8"),
    (HEAD + "use = " + "[" * 5000 + "]" * 5000, None, "brackets within brackets"),
    (HEAD + "quantity = " + "9" * 5000, None, "far too long"),
    (b"#" * (MOST_BYTES + 1), None, "is larger than 0.2 MB"),
]


@pytest.mark.parametrize(("text", "line", "words"), BAD)
def test_one_clear_sentence(tmp_path: Path, text: str | bytes, line: int | None, words: str) -> None:
    with pytest.raises(UnreadableFileError) as caught:
        read_order(written(tmp_path, text))
    assert caught.value.line == line
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFileError, match="cannot be read"):
        read_order(tmp_path / "knife.order.toml")


TEXT = HEAD + 'use = ["food"]\n' + WISH + WAYS


@given(at=st.integers(0, len(TEXT) - 1), what=st.sampled_from(['"', "=", "[", "]", "{", "}", "\n", "x", "", "0", "é"]))
def test_one_wrong_letter_never_brings_a_traceback(
    tmp_path_factory: pytest.TempPathFactory, at: int, what: str
) -> None:
    path = written(tmp_path_factory.getbasetemp(), TEXT[:at] + what + TEXT[at + 1 :])
    with contextlib.suppress(UnreadableFileError):
        assert read_order(path).customer
