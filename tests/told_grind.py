"""What the grind sheet tells of a knife, in words, as it stands on paper."""

from __future__ import annotations

from bladegeom.book.grind_numbers import GrindNumbers
from bladegeom.book.grind_rows import row_groups
from bladegeom.book.grind_settings import line_words, settings, worked_to
from bladegeom.book.station_table import TableRow
from bladegeom.grinding.grind_sheet import GrindSheet
from bladegeom.knife.knife import Knife


def lines_told(knife: Knife) -> list[str]:
    """What is set, scribed and heeded, a line for each number that is worked to."""
    sheet = GrindSheet(knife)
    numbers = [f"{each.what}: {each.shown.text}; {each.limits}" for each in worked_to(sheet)]
    return [*numbers, *settings(sheet), *(text for _, text in line_words(sheet))]


def tables(knife: Knife) -> dict[str, dict[str, TableRow]]:
    """Rows of the table to check by, by title and head."""
    groups = row_groups(GrindNumbers(GrindSheet(knife)))
    return {group.title: {row.head.first: row for row in group.rows} for group in groups}
