"""The paper that printers hold in the country of the machine's locale."""

from __future__ import annotations

import ctypes
import re
from collections.abc import Mapping
from typing import Final

LETTER_COUNTRIES: Final = frozenset(
    ["BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"]
)
"""ISO 3166 codes. Source: Unicode CLDR, supplementalData.xml, <paperSize type="US-Letter">; all others take A4."""

_NAMES: Final = ("LC_ALL", "LC_PAPER", "LANG")
"""The first that is set decides. Source: POSIX.1-2017, Base Definitions 8.2; LC_PAPER is from glibc, locale(7)."""

_LOCALE: Final = re.compile(r"[A-Za-z]{2,3}(?:[_-][A-Za-z]{4})?[_-](?P<country>[A-Za-z]{2})(?:[.@].*)?")
"""As in "en_US.UTF-8", "sr_RS@latin" or, from Windows, "zh-Hant-TW"; "C" and "POSIX" name no country."""

_LONGEST_NAME: Final = 85
"""Letters of a locale's name on Windows. Source: LOCALE_NAME_MAX_LENGTH in winnls.h."""


def country_of(environ: Mapping[str, str]) -> str | None:
    """The country of the locale; None where none is named.

    >>> country_of({"LANG": "en_US.UTF-8", "LC_PAPER": "de_AT.UTF-8"}), country_of({"LC_ALL": "C"})
    ('AT', None)
    """
    name = next((environ[name] for name in _NAMES if environ.get(name)), None)
    found = _LOCALE.fullmatch(_of_windows() if name is None else name)
    return found["country"].upper() if found else None


def paper_of(country: str) -> str:
    """The paper of a country.

    >>> paper_of("CA"), paper_of("NZ")
    ('Letter', 'A4')
    """
    return "Letter" if country in LETTER_COUNTRIES else "A4"


def _of_windows() -> str:
    """What Windows calls the user's locale, such as "en-US"; empty elsewhere."""
    kernel = getattr(ctypes, "windll", None)
    if kernel is None:
        return ""
    text = ctypes.create_unicode_buffer(_LONGEST_NAME)
    kernel.kernel32.GetUserDefaultLocaleName(text, _LONGEST_NAME)
    return text.value
