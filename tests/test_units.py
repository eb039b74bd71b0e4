from __future__ import annotations

import math
import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bladegeom.quantities.errors import QuantityError
from bladegeom.quantities.shown import room_to_buy
from bladegeom.quantities.units import MM_PER_INCH, inch, length, show_inches, show_length, show_mm

# No blade, bar or bench is longer than 10 m; below, every float is far finer than what is shown.
LENGTHS = st.floats(-1e4, 1e4)
SHOWN_MM = 0.005  # half of the last digit of "0.00 mm"
SHOWN_INCH = 0.0005 * 25.4  # half of the last digit of "0.000 in"
ROUNDING = 1e-9


def shown_parts(mm: float) -> tuple[str, str]:
    match = re.fullmatch(r"(.+ mm) \((.+ in)\)", show_length(mm))
    assert match is not None
    return match[1], match[2]


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("3/16 in", 4.7625),
        ('3/16"', 4.7625),
        ("1-1/4 in", 31.75),
        ("1 1/4 in", 31.75),
        ("1¼ in", 31.75),
        ("1-¼ in", 31.75),
        ("1 ¼ inch", 31.75),
        ("¾″", 19.05),
        ("1\N{FRACTION SLASH}8 in", 3.175),
        ("0.030 in", 0.762),
        (".030in", 0.762),
        ("2 inches", 50.8),
        ("12 thou", 0.3048),
        ("4 mm", 4.0),
        ("4mm", 4.0),
        ("  4 MM ", 4.0),
        ("1/2 mm", 0.5),
        ("1.2 cm", 12.0),
        ("4", 4.0),
        ("6.35", 6.35),
        ("-3/16 in", -4.7625),
        ("-1-1/4 in", -31.75),
        ("\N{MINUS SIGN}4 mm", -4.0),
        ("+4 mm", 4.0),
        (4, 4.0),
        (4.7625, 4.7625),
    ],
)
def test_shop_lengths_read_exactly(text: str | float, mm: float) -> None:
    assert length(text) == mm


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "empty"),
        ("   ", "empty"),
        ("4,5 mm", "decimal point"),
        ("4 parsec", "unit 'parsec'"),
        ("1 mil", "unit 'mil'"),
        ("4 mm mm", "unit 'mm mm'"),
        ("1e-3 mm", "unit 'e-3 mm'"),
        ("1 .5 in", "'1 .5' is no number"),
        ("1.5.2 mm", "no number"),
        ("1 - 1/4 in", "no number"),  # may be meant as a difference
        ("3/16/2 in", "no number"),
        ("--4 mm", "no number"),
        ("9" * 41, "no number"),
        ("mm", "begin with a number"),
        ("nan", "begin with a number"),
        ("inf mm", "begin with a number"),
        ("3/0 in", "0 below the line"),
        ("1-5/4 in", "5/4 must be less than 1"),
        ("1 4/4 in", "4/4 must be less than 1"),
        ("3/16", "must name its unit"),
        ("1¼", "must name its unit"),
        (math.nan, "not finite"),
        (math.inf, "not finite"),
        (-math.inf, "not finite"),
        (10**400, "not finite"),
        (True, "yes or no"),
    ],
)
def test_anything_else_is_refused_with_its_reason(text: str | float, reason: str) -> None:
    with pytest.raises(QuantityError, match=re.escape(reason)) as caught:
        length(text)
    assert caught.value.text is text


def test_a_value_that_is_no_number_is_refused() -> None:
    with pytest.raises(QuantityError, match="neither a text nor a number"):
        length([4])  # type: ignore[arg-type]  # what a parameter file can hold


def test_inch_takes_numbers_and_fractions() -> None:
    # International inch, exact by definition (NIST SP 811): 25.4 mm.
    assert inch(1) == 25.4
    assert inch("3/16") == 4.7625
    assert inch("1-1/4") == inch("1¼") == inch(1.25) == 31.75
    assert inch("-.5") == -12.7


@pytest.mark.parametrize("value", ["4 mm", "3/16 in", '1"', "", "one", math.nan, math.inf, 1e308, True])
def test_inch_refuses_units_and_what_is_no_number(value: str | float) -> None:
    with pytest.raises(QuantityError):
        inch(value)


@given(st.integers(-64 * 400, 64 * 400))
def test_every_multiple_of_a_64th_reads_exactly(n: int) -> None:
    size = Fraction(n, 64)
    exact = float(size * Fraction("25.4"))
    whole, rest = divmod(abs(size), 1)
    sign = "-" if n < 0 else ""
    assert length(f"{sign}{whole} {rest.numerator}/{rest.denominator} in") == exact
    assert length(f'{sign}{whole}-{rest.numerator * 3}/{rest.denominator * 3}"') == exact
    assert inch(str(size)) == inch(n / 64) == exact


@given(st.integers(-(10**9), 10**9), st.integers(0, 6))
def test_a_decimal_reads_as_the_nearest_float(digits: int, places: int) -> None:
    exact = Fraction(digits, 10**places)
    text = f"{'-' if digits < 0 else ''}{abs(digits) // 10**places}.{abs(digits) % 10**places:0{places or 1}d}"
    assert length(text) == length(f"{text} mm") == float(exact)
    assert length(f"{text} cm") == float(exact * 10)
    assert length(f"{text} in") == inch(text) == inch(float(text)) == float(exact * Fraction("25.4"))
    assert length(f"{text} thou") == float(exact * Fraction("0.0254"))


@given(LENGTHS)
def test_a_number_is_already_mm(mm: float) -> None:
    assert length(mm) == mm


@given(st.text(max_size=12) | st.text('0123456789/-. ¼½in"mcthou', max_size=12))
def test_text_reads_finite_or_is_refused(text: str) -> None:
    try:
        mm = length(text)
    except QuantityError:
        return
    assert math.isfinite(mm)


@pytest.mark.parametrize(
    ("mm", "text"),
    [
        (4.7625, "4.762 mm (3/16 in)"),
        (4.76, "4.76 mm (0.187 in)"),
        (3.175, "3.175 mm (1/8 in)"),
        (3.18, "3.18 mm (0.125 in)"),
        (0.125, "0.125 mm (0.005 in)"),
        (6.35, "6.35 mm (1/4 in)"),
        (-4.7625, "-4.762 mm (-3/16 in)"),
        (31.75, "31.75 mm (1-1/4 in)"),
        (-31.75, "-31.75 mm (-1-1/4 in)"),
        (25.4, "25.40 mm (1 in)"),
        (0.396875, "0.397 mm (1/64 in)"),
        (0.762, "0.76 mm (0.030 in)"),
        (4.0, "4.00 mm (0.157 in)"),
        (4.769, "4.77 mm (0.188 in)"),
        (0.0, "0.00 mm (0.000 in)"),
        (-0.0, "0.00 mm (0.000 in)"),
        (0.004, "0.00 mm (0.000 in)"),
        (0.01, "0.010 mm (0.0004 in)"),
        (-0.026, "-0.03 mm (-0.001 in)"),
        (-0.004, "0.00 mm (0.000 in)"),
    ],
)
def test_lengths_are_shown_in_both_units(mm: float, text: str) -> None:
    assert show_length(mm) == text


@pytest.mark.parametrize("mm", [math.nan, math.inf, -math.inf])
def test_only_finite_lengths_are_shown(mm: float) -> None:
    with pytest.raises(QuantityError, match="not finite"):
        show_length(mm)


@given(LENGTHS)
def test_what_is_shown_reads_back_within_its_last_digit(mm: float) -> None:
    in_mm, in_inch = shown_parts(mm)
    assert abs(length(in_mm) - mm) <= SHOWN_MM + ROUNDING
    assert abs(length(in_inch) - mm) <= (SHOWN_MM if "/" in in_inch else SHOWN_INCH) + ROUNDING


@given(st.integers(-64 * 400, 64 * 400).filter(bool), st.floats(-5e-6, 5e-6))
def test_a_64th_is_recognised_and_reads_back_exactly(n: int, off: float) -> None:
    exact = float(Fraction(n, 64) * MM_PER_INCH)
    in_mm, in_inch = shown_parts(exact + off)
    assert length(in_inch) == exact
    assert abs(length(in_mm) - exact) <= 0.0005 + ROUNDING


@given(st.integers(-64 * 400, 64 * 400).filter(bool), st.floats(2e-5, 0.0049), st.sampled_from((-1, 1)))
def test_what_only_comes_near_a_64th_is_not_told_as_one(n: int, off: float, way: int) -> None:
    exact = float(Fraction(n, 64) * MM_PER_INCH)
    assert "/" not in show_length(exact + way * off)


@pytest.mark.parametrize("name", ["1/16", "5/64", "3/32", "1/8", "5/32", "3/16", "7/32", "1/4", "5/16", "3/8"])
def test_fractional_drills_are_told_in_mm_as_handbooks_tell_them(name: str) -> None:
    # Source: ASME B94.11M, twist drill diameters, mm to three decimals; from memory.
    handbook = {"1/16": 1.588, "5/64": 1.984, "3/32": 2.381, "1/8": 3.175, "5/32": 3.969}
    handbook |= {"3/16": 4.762, "7/32": 5.556, "1/4": 6.35, "5/16": 7.938, "3/8": 9.525}
    assert float(show_mm(inch(name))) == handbook[name]


@given(st.floats(0.01, 5000.0))
def test_room_is_never_less_than_what_is_needed_nor_much_more(mm: float) -> None:
    in_mm, in_inch = re.fullmatch(r"(\d+ mm) \((.+ in)\)", room_to_buy(mm).text).groups()  # type: ignore[union-attr]
    for told, step in ((length(in_mm), 1.0), (length(in_inch), 25.4 / 8)):
        assert mm - 2e-5 <= told < mm + step


@given(LENGTHS)
def test_the_sign_only_changes_the_sign(mm: float) -> None:
    assert show_length(-abs(mm)).replace("-", "") == show_length(abs(mm)).replace("-", "")
    assert "-0.00 mm" not in show_length(mm)
    assert "-0.000 in" not in show_length(mm)


def told_by_fractions(mm: float) -> tuple[str, str]:
    """Numbers of mm and of inches by exact arithmetic alone, whatever the length."""
    exact, same = Fraction(mm), Fraction(1, 10**5)
    sixtyfourths = Fraction(round(exact / MM_PER_INCH * 64), 64)
    is_fraction = bool(sixtyfourths) and abs(exact - sixtyfourths * MM_PER_INCH) <= same
    exact = sixtyfourths * MM_PER_INCH if is_fraction else exact
    tiny = Fraction(5, 1000) <= abs(exact) < MM_PER_INCH / 1000
    thousandths = round(exact * 1000)
    half = abs(exact * 1000 - thousandths) <= 1000 * same and thousandths % 10 == 5
    by_three = (is_fraction and thousandths % 10) or half or tiny
    in_mm = f"{thousandths / 1000:z.3f}" if by_three else f"{float(exact):z.2f}"
    if not is_fraction:
        return in_mm, f"{float(exact / MM_PER_INCH):z.{4 if tiny else 3}f}"
    whole, rest = divmod(abs(sixtyfourths), 1)
    return in_mm, ("-" if sixtyfourths < 0 else "") + "-".join(str(part) for part in (whole, rest) if part)


NEAR_MARKS = st.tuples(
    st.integers(-(10**5), 10**5), st.sampled_from([25.4 / 64, 0.005, 0.0254, 0.0127, 25.4]), st.floats(-4e-5, 4e-5)
).map(lambda drawn: drawn[0] * drawn[1] + drawn[2])


@given(LENGTHS | NEAR_MARKS | st.floats(-0.05, 0.05) | st.floats(-1e9, 1e9))
def test_lengths_are_told_as_exact_fractions_tell_them(mm: float) -> None:
    assert (show_mm(mm), show_inches(mm)) == told_by_fractions(mm)
