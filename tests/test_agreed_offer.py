"""A price that was agreed: its terms are the customer's and keep the cut file back, the cost is the maker's."""

from __future__ import annotations

import dataclasses
import re
from functools import cache
from pathlib import Path

import pytest
from agreements import EXAMPLES, SIGNED, by, put, to

from bladegeom import AgreedPrice, AgreedTerm, Change, Compared, Design, Payment, agreement_page, quote, read_prices
from bladegeom.agreement.check_agreed import check_agreed
from bladegeom.agreement.offer_now import BY_ORDER, OfferNow, offer_of
from bladegeom.cli import main

PRICES = EXAMPLES / "prices.toml"


@cache
def petty() -> Design:
    plain = Design.from_script(EXAMPLES / "galley_petty.py")
    return dataclasses.replace(plain, settings=plain.settings.changed({"price_list": PRICES}, "option"))


def signed_for(design: Design, listed: Path = PRICES) -> Design:
    """A design whose price was agreed, as the command line writes it down."""
    offer = offer_of(quote(design, listed))
    signed = dataclasses.replace(SIGNED, price=offer.price, terms=offer.terms)
    return dataclasses.replace(design, agreed=design.agreeing(signed))


def at_prices(design: Design, folder: Path, *changes: tuple[str, str]) -> Design:
    """The same, with another price list in force."""
    text = PRICES.read_text()
    for pattern, new in changes:
        text, count = re.subn(pattern, new, text, count=1, flags=re.MULTILINE)
        assert count == 1, pattern
    path = folder / "other.toml"
    path.write_text(text)
    return dataclasses.replace(design, settings=design.settings.changed({"price_list": path}, "option"))


def told(design: Design) -> list[tuple[str, str]]:
    assert isinstance(design.agreement, Compared)
    return [(finding.code, finding.message) for finding in check_agreed(design.agreement)]


def test_nothing_is_told_of_an_offer_that_stands() -> None:
    assert told(signed_for(petty())) == []


@pytest.mark.parametrize(
    ("pattern", "new", "words"),
    [
        (r"^deposit_percent = .*", "deposit_percent = 50", ""),
        (r"^tax_percent = .*", "tax_percent = 25", "agreed: tax 19 %; now: 25 %"),
        (r"^fee = .*", "fee = 99", "agreed: fee for a change after "),
        (r"^currency = .*", 'currency = "USD"', "agreed: price 1049.58 EUR; now: 1049.58 USD; "),
        (r"^hour_rate = .*", "hour_rate = 70", ""),
        (r"^margin_percent = .*", "margin_percent = 40", ""),
    ],
)
def test_terms_that_stood_on_the_page_are_told_and_costs_are_not(
    pattern: str, new: str, words: str, tmp_path: Path
) -> None:
    """The deposit of this order is agreed in the order itself, so that the list's is no term of it."""
    found = told(at_prices(signed_for(petty()), tmp_path, (pattern, new)))
    errors = [message for code, message in found if code == "agreed-price"]
    assert bool(errors) == bool(words)
    assert all("keep to what was agreed, or let the customer agree again" in message for message in errors)
    if words:
        assert any(message.startswith(words) for message in errors), errors
    assert {code for code, _ in found} <= {"agreed-price", "agreed-price-stands"}


@pytest.mark.parametrize("is_added", [False, True])
def test_a_fee_that_is_gone_and_one_that_is_new_are_told(is_added: bool, tmp_path: Path) -> None:  # noqa: FBT001
    design = signed_for(petty())
    gone = at_prices(design, tmp_path, (r"\[\[gate\]\]\nname = \"the blank is cut\"\n(?:\w.*\n)+", ""))
    if is_added:
        gone, design = design, signed_for(gone, tmp_path / "other.toml")
        gone = dataclasses.replace(gone, agreed=design.agreed)
    (code, message), *rest = told(gone)
    fee, none = "fee for a change after the blank is cut", "25.00 EUR and 20 % of the price"
    assert (code, rest) == ("agreed-price", [])
    assert message.startswith(f"agreed: no {fee}; now: {none}" if is_added else f"agreed: {fee} {none}; now: none")


@pytest.mark.parametrize("field", ["deposit_percent", "shipping"])
def test_what_the_order_leaves_to_the_list_is_a_term(field: str, tmp_path: Path) -> None:
    design = signed_for(put(petty(), "order.payment", Payment(budget=640.0)))
    new = f"{field} = 60" if re.search(f"^{field} = ", PRICES.read_text(), re.MULTILINE) else ""
    changes = ((f"^{field} = .*", new),) if new else ((r"^currency = .*", 'currency = "EUR"\nshipping = 60'),)
    codes = {code for code, _ in told(at_prices(design, tmp_path, *changes))}
    assert "agreed-price" in codes


def test_what_nobody_sees_moves_the_cost_and_keeps_nothing_back(tmp_path: Path) -> None:
    exact = at_prices(petty(), tmp_path, (r"^round_to = .*", "round_to = 0.01"), (r"^least = .*", "least = 1"))
    listed = exact.settings.price_list
    assert listed is not None
    design = signed_for(exact, listed)
    cheaper = put(design, "knife.holes", design.knife.holes[1:])
    found = dict(told(cheaper))
    assert set(found) == {"agreed-but-unseen", "agreed-price-stands"}
    was, now = (offer_of(quote(each, listed)).price for each in (design, cheaper))
    assert was is not None
    assert now is not None
    assert f"{was.words} was agreed, and by your price list it comes to {now.words} now" in found["agreed-price-stands"]
    assert "price" not in found["agreed-but-unseen"]
    assert not [finding for finding in cheaper.errors if finding.part == "agreement"]


def test_a_price_that_the_maker_changes_in_the_order_is_seen() -> None:
    design = signed_for(petty())
    later = Change(date="2026-04-10", text="a longer sheath", answer="accepted", price=25, requirement=12)  # type: ignore[arg-type]
    dearer = {
        "a deposit": to("order.payment.deposit", 300.0),
        "a change with its price": lambda each: put(each, "order.changes", (*each.order.changes, later)),
        "the price of a change": to("order.changes.0.price", 40.0),
        "tax": to("order.payment.tax", "maker"),
        "shipping": to("order.payment.shipping", "customer"),
        "how many": by("order.quantity", 1),
    }
    for name, change in dearer.items():
        codes = {code for code, _ in told(change(design))}
        assert codes & {"agreed-price", "agreed-order"}, name


def test_where_the_order_rules_on_either_side_its_own_difference_tells_it() -> None:
    design = signed_for(petty())
    left = told(put(design, "order.payment.deposit", None))
    assert [code for code, _ in left if code == "agreed-price"] == ["agreed-price"]
    assert all(BY_ORDER not in message for _, message in left)


def test_terms_are_compared_where_something_has_no_price(tmp_path: Path) -> None:
    design = signed_for(petty())
    found = at_prices(design, tmp_path, (r"^tax_percent = .*", "tax_percent = 25"), (r"^name = .*", 'name = "x"'))
    unpriced = to("knife.stock.steel", "1.4034")(found)
    assert isinstance(unpriced.agreement, Compared)
    assert isinstance(unpriced.agreement.offer, OfferNow)
    assert unpriced.agreement.offer.price is None
    assert any(message.startswith("agreed: tax ") for _, message in told(unpriced))


def test_a_price_without_its_terms_is_told_as_that() -> None:
    bare = dataclasses.replace(SIGNED, price=offer_of(quote(petty(), PRICES)).price)
    assert [code for code, _ in told(dataclasses.replace(petty(), agreed=petty().agreeing(bare)))] == [
        "agreed-terms-unknown"
    ]
    unpriced = dataclasses.replace(petty(), agreed=petty().agreeing(SIGNED))
    assert told(unpriced) == []


def test_terms_called_alike_do_not_hide_each_other() -> None:
    pair = tuple(AgreedTerm(what="fee", value=value) for value in ("10", "20"))
    signed = dataclasses.replace(SIGNED, price=AgreedPrice(amount="1", currency="EUR"), terms=pair)
    now = OfferNow(price=signed.price, terms=(AgreedTerm(what="fee", value="11"), pair[1]))
    agreed = petty().agreeing(signed)
    (difference,) = Compared(agreed, agreed, now).seen
    assert difference.words == "agreed: fee 10; 20; now: 11; 20"


def test_every_term_that_is_kept_is_a_number_of_the_page() -> None:
    """What both sign for stands on the page that they sign: tax and fees with their amounts."""
    offer = offer_of(quote(petty(), PRICES))
    kept = {term.what for term in offer.terms}
    shown = [row.what for section in agreement_page(petty(), prices=PRICES).said.price for row in section.rows]
    gates = [what for what in shown if what.startswith("after ")]
    assert len(gates) == len(read_prices(PRICES).gates) > 1
    assert {f"fee for a change {what}" for what in gates} <= kept
    assert any(what.startswith("tax") for what in shown)


def test_the_command_line_keeps_the_terms_and_compares_them(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for name in ("galley_petty.py", "galley_petty.order.toml", "prices.toml"):
        (tmp_path / name).write_text((EXAMPLES / name).read_text())
    script, prices = str(tmp_path / "galley_petty.py"), tmp_path / "prices.toml"
    sign = ["agree", script, "--signed", "on paper", "--maker", "the smith", "--date", "2026-04-03"]
    assert main([*sign, "--prices", str(prices)]) == 0
    settings = tmp_path / "settings.toml"
    settings.write_text('[bladegeom]\nprice_list = "prices.toml"\n')
    capsys.readouterr()
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("BLADEGEOM_SETTINGS", str(settings))
        assert main(["check", script]) == 0
        prices.write_text(re.sub(r"(?m)^tax_percent = .*", "tax_percent = 25", prices.read_text()))
        assert main(["check", script]) == 1
        assert "error [agreed-price] agreed: tax 19 %; now: 25 %" in capsys.readouterr().out
