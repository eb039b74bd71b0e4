"""The paper of a country: by CLDR, and by the locale's name as systems write it."""

from __future__ import annotations

import ctypes
from types import SimpleNamespace
from typing import Any

import pytest

from bladegeom.settings.country_paper import LETTER_COUNTRIES, country_of, paper_of


def test_the_countries_are_those_of_cldr() -> None:
    """Unicode Technical Standard 35, part 2, measurement system data: its paperSize "US-Letter", read in 2026."""
    quoted = "BZ CA CL CO CR GT MX NI PA PH PR SV US VE"
    assert set(quoted.split()) == LETTER_COUNTRIES


@pytest.mark.parametrize(
    ("environ", "country"),
    [
        ({}, None),
        ({"LANG": "C"}, None),
        ({"LANG": "POSIX"}, None),
        ({"LANG": "C.UTF-8"}, None),
        ({"LANG": "en"}, None),
        ({"LANG": "en_US.UTF-8"}, "US"),
        ({"LANG": "fr_CA"}, "CA"),
        ({"LANG": "de_AT@euro"}, "AT"),
        ({"LANG": "sr_RS.UTF-8@latin"}, "RS"),
        ({"LANG": "zh_Hant_TW"}, "TW"),
        ({"LANG": "fil_PH.UTF-8"}, "PH"),
        ({"LANG": "en_US.UTF-8", "LC_PAPER": "de_DE.UTF-8"}, "DE"),
        ({"LANG": "de_DE.UTF-8", "LC_PAPER": "en_US.UTF-8", "LC_ALL": "en_NZ.UTF-8"}, "NZ"),
        ({"LANG": "en_US.UTF-8", "LC_ALL": ""}, "US"),
        ({"LANG": "en_US.UTF-8", "LC_ALL": "C"}, None),
        ({"LANG": "en_USA"}, None),
        ({"LANG": "../../etc"}, None),
    ],
)
def test_the_first_variable_that_is_set_decides(environ: dict[str, str], country: str | None) -> None:
    assert country_of(environ) == country


@pytest.mark.parametrize(("country", "paper"), [("US", "Letter"), ("MX", "Letter"), ("CO", "Letter"), ("PH", "Letter")])
def test_letter_countries(country: str, paper: str) -> None:
    assert paper_of(country) == paper


@pytest.mark.parametrize("country", ["DE", "GB", "AU", "JP", "BR", "ZA", "IN", "XX"])
def test_all_others_take_a4(country: str) -> None:
    assert paper_of(country) == "A4"


def test_windows_is_asked_where_no_variable_is_set(monkeypatch: pytest.MonkeyPatch) -> None:
    """As documented for GetUserDefaultLocaleName: it fills a buffer of at most 85 letters."""

    def named(buffer: Any, size: int) -> int:
        assert size == 85
        buffer.value = "en-US"
        return 6

    windll = SimpleNamespace(kernel32=SimpleNamespace(GetUserDefaultLocaleName=named))
    monkeypatch.setattr(ctypes, "windll", windll, raising=False)
    assert country_of({}) == "US"
    assert country_of({"LANG": "de_DE"}) == "DE"
