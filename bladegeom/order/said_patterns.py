"""How people write a number with its unit, as patterns; ``said.py`` reads what they find."""

from __future__ import annotations

import re
from typing import Final, Literal

Kind = Literal["length", "mass", "hardness", "angle", "price"]

GRAMS_PER_POUND: Final = 453.59237
"""Source: exact by definition, the international pound of 1959 (NIST SP 811)."""

SMALL: Final = {
    word: number
    for number, word in enumerate(
        ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"), 1
    )
}
SHARES: Final = {"half": 0.5, "halve": 0.5, "quarter": 0.25, "eighth": 0.125, "sixteenth": 0.0625}
_COUNT: Final = "|".join(SMALL)
_SHARE: Final = rf"(?:(?:an?|{_COUNT})[- ])?(?:{'|'.join(SHARES)})s?(?: of)?(?: an?)?"
_AND: Final = "(?: and (?:a half|a quarter))"
_WORD: Final = rf"\b(?:{_SHARE}|(?:{_COUNT}){_AND}?|\d+{_AND})"
_PART: Final = "[¼½¾⅛⅜⅝⅞]"
_DIGITS: Final = rf"\d+(?:[-\s]\d+/\d+|/\d+|(?:,\d{{3}})+(?:\.\d+)?|[.,]\d+|\s?{_PART})?|\.\d+|{_PART}"
_NUMBER: Final = rf"(?:{_DIGITS})"

RANGES: Final = ("-", "\N{EN DASH}", "/", "to", "or")
EITHER_WAY: Final = ("\N{PLUS-MINUS SIGN}", "+/-", "+-")
_JOIN: Final = (
    r"\s*(?P<join>-|\N{EN DASH}|/|to\b|and\b|or\b|x|\N{MULTIPLICATION SIGN}|by\b|\N{PLUS-MINUS SIGN}|\+/?-)\s*"
)

# Inches: "8 in" is one where the next word is what an inch measures, and not where "in" may be the little word.
_AFTER_IN: Final = (
    "across along and around as at bar because belt between bevel blade blades boning bowie bread bush bushcraft "
    "but by camp carving chef clip cord deep dia diameter drop edge exactly fillet filleting finger for from full "
    "give handle handles high hole hunter hunting if is kitchen knife knives length like long loop max maximum "
    "measured min minimum neck not oal of or overall paring petty pin pins please plus rod round santoku should "
    "skinner slicer slot so spine steel stock straight tall tang thick thickness tip to tube utility when "
    "wide width with without would x"
)
_IN: Final = rf"in\b\.?(?=\s*$|\s*[,;:.!?)(+\N{{EN DASH}}\N{{PLUS-MINUS SIGN}}]|\s+(?:{'|'.join(_AFTER_IN.split())})\b)"
_SURE_IN: Final = r"(?<=\d)in\b\.?|(?<=/\d )in\b\.?|(?<=/\d\d )in\b\.?"
_CLOTH: Final = r"(?!\.?\s*(?:leather|veg|hide|canvas|denim|cloth|thread))"
_HEAT: Final = r"(?!\s*(?:c|f|celsius|fahrenheit|centigrade|below|above|outside|hot|cold|warm)\b)"

UNITS: Final[dict[str, tuple[Kind, float]]] = {
    r"mm\b|millimet(?:er|re)s?\b": ("length", 1.0),
    r"cm\b|centimet(?:er|re)s?\b": ("length", 10.0),
    rf"inch(?:es)?\b|ins\b|\"|''|{_SURE_IN}|{_IN}": ("length", 25.4),
    r"thou\b|thousandths?\b": ("length", 0.0254),
    r"kgs?\b|kilos?\b|kilograms?\b": ("mass", 1000.0),
    r"gr?\b|grams?\b|grammes?\b": ("mass", 1.0),
    rf"(?:oz\b|ounces?\b){_CLOTH}": ("mass", 28.349523125),
    r"lbs?\b|pounds?\b": ("mass", GRAMS_PER_POUND),
    r"hrc\b|rc\b|rockwell(?:\s+c)?\b": ("hardness", 1.0),
    rf"(?:\N{{DEGREE SIGN}}|deg(?:rees?)?\b\.?|dps\b){_HEAT}": ("angle", 1.0),
    r"(?:usd|eur|gbp|chf|dollars?|euros?|bucks|quid|francs?)\b|[$€£]": ("price", 1.0),
}
"""Units by pattern, with what one of them is in mm, g, HRC, degrees or money; source: NIST SP 811, exact."""

_SAME: Final = r"(?P<same>mm|cm|in|inch(?:es)?|\"|g|hrc|\N{DEGREE SIGN})?"
QUANTITY: Final = re.compile(
    rf"(?<![\w./,$€£-])(?P<a>{_NUMBER}|{_WORD})(?:\s*{_SAME}{_JOIN}(?P<b>{_NUMBER}))?"
    r"(?:ths|,-|-?ish)?(?: of an?)?[\s-]*"
    rf"(?P<unit>{'|'.join(f'(?:{unit})' for unit in UNITS)})",
    re.IGNORECASE,
)
"""A number, or two of them, and a unit: 8 in, 7-1/2", 58-60 HRC, 90 x 30 mm."""

HARDNESS: Final = re.compile(
    r"\b(?:(?:hrc|rc|rockwell(?: c)?)[\s:]*|(?:hardness(?: of| about| at| to| around| between| from)*|hardened to|"
    rf"tempered to)[\s:]+)(?P<a>{_NUMBER})(?:{_JOIN}(?P<b>{_NUMBER}))?(?![\w/])",
    re.IGNORECASE,
)
"""HRC 58, hardened to 60."""

PRICE: Final = re.compile(
    rf"(?:[$€£]|\b(?:usd|eur|gbp|chf)\b)\s*(?P<a>{_NUMBER})(?:{_JOIN}[$€£]?\s*(?P<b>{_NUMBER}))?", re.IGNORECASE
)
"""The currency first."""

BARE_PRICE: Final = re.compile(
    r"\b(?:under|below|less than|more than|at most|max(?:imum)?|up to|budget(?: is| of)?:?|spend|pay|costs?|for)\s+"
    rf"(?P<a>{_NUMBER})(?![\w.,]*\d|\s*(?:%|days?|weeks?|months?|years?|hours?|kni|of|pieces|mm|cm|in\b|g\b))",
    re.IGNORECASE,
)
"""Where it is about the price, and no currency is told."""

BARE_INCH: Final = re.compile(
    r"(?<![\w./,-])(?P<a>(?:\d+[-\s])?\d+/(?:2|4|8|16|32|64))(?=ths\b|\s+(?:thick|stock|bar|pins?|rod|tube|wide)\b)",
    re.IGNORECASE,
)
"""Whoever writes 3/16 stock means inch."""

_SMALLER: Final = "under|below|(?:less|shorter|thinner|lighter|smaller|narrower|softer|lower) than"
_GREATER: Final = "over|above|(?:more|longer|thicker|heavier|harder|wider|bigger|higher) than"
_NOT: Final = "(?:no|not|never|nothing|none)"
_PLAIN: Final = "(?<!no )(?<!not )(?<!never )(?<!nothing )(?<!none )"
"""Not turned round by what stands before: "no shorter than" is a least, "shorter than" a most."""
_MOST: Final = rf"{_PLAIN}(?:{_SMALLER})|{_NOT} (?:{_GREATER})|at most|max(?:imum)?|up to"
_LEAST: Final = rf"{_PLAIN}(?:{_GREATER})|{_NOT} (?:{_SMALLER})|at least|min(?:imum)?"
_ABOUT: Final = "about|around|roughly|approximately|approx|ca|circa|some|nearly|almost"
_COMPARED: Final = (
    "longer|shorter|thicker|thinner|wider|narrower|higher|lower|taller|lighter|heavier|harder|softer|more|less|bigger|"
    "smaller|deeper|apart|off|either way"
)


def _any(pattern: str) -> re.Pattern[str]:
    return re.compile(pattern, re.IGNORECASE)


BEFORE: Final = {
    "skip": _any(
        r"(?:\N{PLUS-MINUS SIGN}|\+/?-|\b(?:by|within|plus or minus|give or take|every|not|was|instead of(?: the)?|"
        r"rather than(?: the)?))\s*$"
    ),
    "most": _any(rf"(?:\b(?:{_MOST})|[<≤])(?: of| about)?\s*$"),
    "least": _any(rf"(?:\b(?:{_LEAST})|[>≥])(?: of| about)?\s*$"),
    "about": _any(rf"(?:\b(?:{_ABOUT})\.?|~)\s*$"),
    "between": _any(r"\b(?:between|from)\s*$"),
}
AFTER: Final = {
    "skip": _any(rf"\s*(?:{_COMPARED})\b"),
    "most": _any(r"\s*(?:or (?:less|under|lighter|shorter|thinner|below)|max(?:imum)?|at (?:the )?most|tops)\b"),
    "least": _any(r"\s*(?:or (?:more|over|heavier|longer|thicker|above)|min(?:imum)?|at least|and up)\b"),
}
"""What the words before and behind a number make of it; "skip" is a difference or a tolerance and no size."""

INCLUSIVE: Final = _any(r"\b(?:inclusive|included|in total|both sides together|edge to edge)\b")
"""An angle told over both sides."""

HEATED: Final = _any(r"\b(?:oven|stove|kiln|boil\w*|\w*wash\w*|temperatures?|heated|water)\b[^,.;]*$")
"""Before a number of degrees: a temperature and no angle."""
