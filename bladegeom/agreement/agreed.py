"""What was agreed: who signed, and the state of the design that they signed for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from bladegeom.agreement.signed import Signed

Table = dict[str, Any]
"""Of a declared value; values are tables, rows, texts, numbers, dates and yes or no."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Agreed:
    """An agreement on one state of one design.

    Args:
        signed: Who, when and how.
        name: Of the knife.
        order: Number of the order; empty without one.
        revision: The id of the state, such as "B-3f2a91c4".
        state: All of it that is compared later, as plain tables.

    >>> from bladegeom import Signed
    >>> signed = Signed(customer="the cook", maker="the smith", date="2026-03-09", how="on paper")
    >>> design.agreeing(signed).name
    'Rigging knife'
    """

    signed: Signed
    name: str
    order: str
    revision: str
    state: Table


@dataclass(frozen=True)
class Spoiled:
    """A file that was to hold an agreement and does not; it is never taken for one.

    Args:
        file: Its name.
        reason: What is wrong with it, with the way out.

    >>> Spoiled("knife.agreed.toml", "the file is empty").file
    'knife.agreed.toml'
    """

    file: str
    reason: str
