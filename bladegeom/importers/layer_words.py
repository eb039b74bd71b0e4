"""Whether a layer's name says that what lies on it is not to be cut through."""

from __future__ import annotations

import re
from typing import Final

_MARKS: Final = frozenset(
    (
        *("mark", "marks", "marked", "marking", "markings", "engrave", "engraved", "engraves", "engraving", "etch"),
        *("engravings", "etched", "etching", "etchings", "scribe", "scribed", "scribing", "gravur", "gravuren"),
        *("gravure", "gravieren", "gravierung", "text", "texts", "note", "notes", "dim", "dims", "dimension"),
        *("dimensions", "bema", "bemassung", "bemaßung", "border", "borders", "frame", "frames", "title", "titleblock"),
        *("defpoints", "constr", "construct", "construction", "centre", "centres", "centreline", "centrelines"),
        *("center", "centers", "centerline", "centerlines", "hidden", "guide", "guides", "guideline", "guidelines"),
        *("grind", "grindline", "grindlines", "stamp", "stamps", "stamped", "stamping", "bend", "bends", "bendline"),
        *("bendlines", "fold", "folds", "hatch", "hatches", "hatching", "annot", "annotation", "annotations", "info"),
        *("information",),
    )
)
_CUTS: Final = frozenset(
    (
        *("cut", "cuts", "cutting", "outline", "outlines", "contour", "contours", "profile", "profiles", "perimeter"),
        *("blank", "blanks", "part", "parts", "plate", "kerf", "inner", "outer", "hole", "holes", "through", "punch"),
        *("punched", "drill", "drilled", "pierce", "pierced", "waterjet"),
    )
)
"""Words of both kinds: common practice, no source. A name with one of each is read as one to cut, so that nothing that
may be cut goes unlooked at."""

_WORD = re.compile(r"[^\W\d_]+")
_HUMP = re.compile(r"(?<=[a-zß-ÿ])(?=[A-ZÀ-Þ])")
"""Where a new word begins in one like GrindLine."""


def is_for_marks(layer: str) -> bool:
    """Whether a layer is named for marks, notes or guides, by its whole words.

    >>> [is_for_marks(name) for name in ("ENGRAVE_2", "GrindLine", "Grindworks_blank", "outline_center_punched")]
    [True, True, False, False]
    """
    words = {word.lower() for word in _WORD.findall(_HUMP.sub(" ", layer))}
    return bool(words & _MARKS) and not words & _CUTS
