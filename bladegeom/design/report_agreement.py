"""What was agreed, and what differs from it, as plain values for the report."""

from __future__ import annotations

from typing import Any

from bladegeom import agreement
from bladegeom.agreement.agreed import Spoiled
from bladegeom.design.design import Design


def agreement_report(design: Design) -> dict[str, Any] | None:
    """Who agreed when, and what differs; None where nothing was agreed."""
    found = design.agreement
    if found is None:
        return None
    told = {"words": agreement.agreement_words(found)}
    if isinstance(found, Spoiled):
        return told | {"file": found.file, "reason": found.reason}
    agreed, signed = found.agreed, found.agreed.signed
    return {
        **told,
        "customer": signed.customer,
        "maker": signed.maker,
        "date": signed.date.isoformat(),
        "how": signed.how,
        "order": agreed.order,
        "revision": agreed.revision,
        "price": None if signed.price is None else signed.price.words,
        "answers": [{"question": said.question, "answer": said.answer} for said in signed.answers],
        "seen": [{"kind": each.kind, "message": found.told(each)} for each in found.seen],
        "unseen": [each.short for each in found.unseen],
    }
