"""The command ``agree``: the page that the customer signs, and writing down that it was signed."""

from __future__ import annotations

import argparse
import datetime
from collections.abc import Sequence

from bladegeom.agreement.offer_now import OfferNow, offer_of
from bladegeom.agreement.page_parts import CustomersPage, PageQuestion
from bladegeom.agreement.signed import HOW, Signed
from bladegeom.cli.asked import asked_design, folder_of
from bladegeom.cli.busy import busy
from bladegeom.cli.paper_lines import paper_lines
from bladegeom.cli.tell import tell, tell_findings
from bladegeom.commands.agree import AgreementPage, agreement_page
from bladegeom.commands.quote import quote
from bladegeom.commands.sign_agreement import answers_to, write_agreed
from bladegeom.design.design import Design
from bladegeom.quantities.errors import AgreementError, ParameterError
from bladegeom.writers.files import file_stem, write_all


def agree_command(options: argparse.Namespace) -> int:
    """Write the page, or that it was signed: 0."""
    date = _date(options.date)
    script, design = asked_design(options)
    listed = design.settings.price_list if options.price or options.prices else None
    if options.price and listed is None:
        options.parser.error("--price needs a price list: name --prices FILE.toml, or set price_list in your settings")
    if options.signed is None:
        _refuse_signing(options)
        with script.named(), busy(f"agreement of {options.script.name}"):
            pages = [agreement_page(design, prices=listed, date=date, paper=name) for name in options.paper or (None,)]
            files = _files(design, pages)
        _write(options, design, files, pages[0].said.questions)
    else:
        how, when = _told(options, design, date)
        with script.named(), busy(f"agreement of {options.script.name}"):
            said = agreement_page(design, prices=listed, date=when).said
            offer = None if listed is None else offer_of(quote(design, listed))
        _sign(options, design, said, how, when, offer)
    return 0


def _files(design: Design, pages: Sequence[AgreementPage]) -> dict[str, bytes]:
    stem = f"{file_stem(design.knife.name, design.knife.revision)}_agreement"
    return {f"{stem}.html": pages[0].html} | {f"{stem}_{page.paper.name}.pdf": page.printout.pdf for page in pages}


def _write(
    options: argparse.Namespace, design: Design, files: dict[str, bytes], questions: Sequence[PageQuestion]
) -> None:
    for line in paper_lines(options.paper, design.settings):
        tell(line)
    for path in write_all(options.out or folder_of(options.script, "agreement"), files):
        tell(str(path))
    if questions:
        letters = ", ".join(question.letter for question in questions)
        tell(f"{len(questions)} question{'' if len(questions) == 1 else 's'} to answer on the page: {letters}")
    # What the page tells as not done as asked, the maker hears with its way out.
    tell_findings(finding for finding in design.standing if finding.part == "order")


def _sign(
    options: argparse.Namespace,
    design: Design,
    said: CustomersPage,
    how: str,
    when: datetime.date,
    offer: OfferNow | None,
) -> None:
    signed = Signed(
        customer=options.customer or said.customer,
        maker=design.settings.maker or "",
        date=when,
        how=how,
        answers=answers_to(said.questions, _answers(options.answer), leave_open=options.leave_open),
        price=None if offer is None else offer.price,
        terms=() if offer is None else offer.terms,
        note=options.note,
    )
    paths = write_agreed(options.script, design.agreeing(signed), again=options.again)
    tell(f"{signed.words}: {paths[0]}")
    for path in paths[1:]:
        tell(f"the older agreement is kept as {path}")
    if signed.answers:
        tell("write the answers into the order as well: the design is judged by it")


def _told(options: argparse.Namespace, design: Design, date: datetime.date | None) -> tuple[str, datetime.date]:
    """How and when it was signed; all that is missing is asked for at once."""
    customer = options.customer or ("" if design.order is None else design.order.customer)
    missing = [
        text
        for known, text in (
            (options.signed, f"how (--signed {' | '.join(repr(how) for how in HOW)})"),
            (customer, "which customer (--customer NAME)"),
            (design.settings.maker, "which maker (--maker NAME)"),
            (date, "when (--date YYYY-MM-DD, or --date today)"),
        )
        if not known
    ]
    if missing or date is None:
        raise AgreementError(f"not agreed: say {' and '.join(missing)}")
    return options.signed, date


def _refuse_signing(options: argparse.Namespace) -> None:
    """What only goes with a signature."""
    given = ("answer", "leave_open", "again", "note", "customer")
    if wrong := [name for name in given if getattr(options, name)]:
        options.parser.error(f"--{wrong[0].replace('_', '-')} goes with --signed")


def _answers(texts: Sequence[str]) -> dict[str, str]:
    out: dict[str, str] = {}
    for text in texts:
        letter, separator, answer = (part.strip() for part in text.partition("="))
        if not (separator and letter and answer):
            raise ParameterError("--answer", repr(text), "be written LETTER=ANSWER, such as 'A=on both'")
        out[letter.upper()] = answer
    return out


def _date(text: str | None) -> datetime.date | None:
    if text is None:
        return None
    if text == "today":
        return datetime.date.today()  # the day at the bench
    try:
        return datetime.date.fromisoformat(text)
    except ValueError as error:
        raise ParameterError("--date", repr(text), "be a day such as 2026-03-05, or today") from error
