"""What belongs to the finished knife and is no part of the design: every mass and balance that lacks it says so."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from bladegeom.knife.knife import Knife
from bladegeom.outline.halves import has_hidden_tang
from bladegeom.quantities.errors import PlacingError

BLOCK: Final = "handle block"


def unweighed(knife: Knife) -> tuple[str, ...]:
    """Parts that are not weighed: the block on a hidden tang; none where all of the knife is declared."""
    return (BLOCK,) if has_hidden_tang(knife.outline.profiles) else ()


def require_weighed(knife: Knife, wanted: str) -> None:
    """Refuse what needs the mass or the balance of all of the knife.

    Raises:
        PlacingError: A part of it is not weighed.
    """
    if left_out := unweighed(knife):
        raise PlacingError(
            f"{wanted}: the {' and '.join(left_out)} is no part of the design, so that no mass or balance of the whole "
            "knife is known; add_lightening(knife) takes out as much as the rules allow"
        )


def knife_words(left_out: Sequence[str]) -> str:
    """What the parts that are weighed make up together: "whole knife", or the knife without what is left out."""
    return f"knife without its {' and '.join(left_out)}" if left_out else "whole knife"


def without_words(left_out: Sequence[str]) -> str:
    """To stand behind a balance or a mass: empty where nothing is left out."""
    return f", without the {' and '.join(left_out)}" if left_out else ""
