"""The three sizes of type in which everything is printed that is read at the bench, and the two pens beside the usual.

Source:
    A letter is read from a distance without strain where its capital subtends 16 to 24 minutes of arc (ISO 9241-303,
    from memory): at 700 mm a capital of 3.3 to 4.9 mm. Whoever leans over the bench at 450 mm reads 2.1 mm.
"""

from __future__ import annotations

from typing import Final

from bladegeom.drawing.drawing import Pen
from bladegeom.quantities.lettering import EM

PT: Final = 25.4 / 72
"""A point, mm."""

TEXT: Final = 9.2 * PT / EM
"""Height of running text, mm: 9.2 pt."""

HEAD: Final = 11.5 * PT / EM
"""Of what begins a block, mm: 11.5 pt, bold."""

KEY: Final = 14.5 * PT / EM
"""Of a page's title, and of a number that is worked to, mm: 14.5 pt, bold."""

LEADING: Final = 1.45
"""From one base line to the next, in heights of the text: a capital with its accent clears the tails above it."""

HEAVY_PEN: Final = Pen(width=0.5)
"""What frames a block, and what the eye is to find first."""

FINISHED_PEN: Final = Pen(width=0.35)
"""The finished shape, where it is drawn over an earlier one."""
