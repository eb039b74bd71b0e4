"""How an agreement stands, in a sentence and in lines."""

from __future__ import annotations

from bladegeom.agreement.agreed import Spoiled
from bladegeom.agreement.compared import Compared


def agreement_words(found: Compared | Spoiled) -> str:
    """Who agreed when, and whether the design is still what they agreed on.

    Args:
        found: The agreement beside the design, or a file that holds none.
    """
    if isinstance(found, Spoiled):
        return f"nothing is agreed: {found.file}, {found.reason}"
    signed = found.agreed.signed.words
    if found.is_of_another:
        return f"{signed}, for another order"
    count, moved = len(found.seen), found.price_moved
    stands = f"; the price of {moved.was} stands, by your list it comes to {moved.now} now" if moved else ""
    if not count:
        return f"{signed}; the design is what was agreed{stands}"
    differ = "1 thing differs that shows" if count == 1 else f"{count} things differ that show"
    return f"{signed}; {differ}{stands}"


def standing_of_agreement(found: Compared | Spoiled) -> tuple[str, ...]:
    """The same, with what differs."""
    head = f"agreement: {agreement_words(found)}"
    if isinstance(found, Spoiled) or found.is_of_another:
        return (head,)
    return (head, *(f"  {found.told(difference)}" for difference in found.seen))


def differing_line(found: Compared | Spoiled) -> tuple[str, ...]:
    """A line where a design is not what was agreed, or costs the maker otherwise; nothing where it is.

    Args:
        found: The agreement beside the design, or a file that holds none.
    """
    if isinstance(found, Spoiled) or found.is_of_another:
        return (f"agreement: {agreement_words(found)} (bladegeom check tells more)",)
    if found.seen:
        # A price list that is named for one command alone is unknown to the check: its terms are told here.
        terms = "".join(f"; {difference.words}" for difference in found.seen if difference.kind == "price")
        return (f"agreement: {agreement_words(found)}{terms} (bladegeom check tells more)",)
    return (f"agreement: {agreement_words(found)}",) if found.price_moved else ()
