"""One key for all the forms in which a designation is written, such as 'AISI 1075', 'x50 crmov15', 'W.-Nr. 1.4116'."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping

_PREFIX = re.compile(
    r"^(?:aisi|sae|nema|(?:astm|uns|din|en|iso|type|werkstoff(?:[\s.-]*(?:nr|number|nummer))?|w[\s.-]*nr)(?=[\W\d_])|en(?=aw))[\W_]*"
)
"""Who gave the name does not matter. A word that could begin another name counts only before a gap or a digit."""

_NEAR = 0.65
"""Names less alike than this are no neighbours, by the ratio of their common letters; own choice."""


def designation_key(name: str) -> str:
    """Letters and digits of a name in lower case, without the body that gave it.

    >>> designation_key("EN 1.4116"), designation_key("x50 CrMoV-15"), designation_key("AISI/SAE 1075")
    ('14116', 'x50crmov15', '1075')
    """
    rest = name.strip().casefold()
    while (shorter := _PREFIX.sub("", rest, count=1)) != rest and shorter:
        rest = shorter
    return "".join(c for c in rest if c.isalnum())


def neighbours(name: str, kinds: Mapping[str, str]) -> list[str]:
    """Known names that are near an unknown one, all of one kind: a steel never suggests an antler.

    Args:
        name: The unknown one.
        kinds: Kind of each known name.

    Returns:
        At most three, the nearest first; none where nothing is alike. A name with digits is near such names only.
    """
    key = designation_key(name)
    by_key = {designation_key(known): known for known in kinds if _numbered(known) == _numbered(name)}
    close = [by_key[near] for near in difflib.get_close_matches(key, list(by_key), n=8, cutoff=_NEAR)]
    return [known for known in close if kinds[known] == kinds[close[0]]][:3]


def named_in(text: str, words: Iterable[str]) -> bool:
    """Whether whole words stand one after the other in a text, whatever their case.

    >>> named_in("free-cutting brass", ["Brass"]), named_in("unbrassed", ["brass"])
    (True, False)
    """
    wanted = r"\W+".join(re.escape(word) for word in words)
    return bool(wanted) and re.search(rf"(?<!\w){wanted}(?!\w)", text, re.IGNORECASE) is not None


def _numbered(name: str) -> bool:
    return any(c.isdigit() for c in designation_key(name))
