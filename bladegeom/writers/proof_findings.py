"""The findings of the proof, and what it says of the design as a whole: released, overridden, or not."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from bladegeom.quantities.units import show_mm
from bladegeom.writers.page_values import Cell, Quantity, size_quantity


@dataclass(frozen=True, kw_only=True)
class State:
    """What must be said before anything else.

    Args:
        severity: The worst of what stands or was overridden.
        standing: Codes of the errors that stand.
        allowed: Codes of the errors that the maker overrode.
        overridden: These findings, as the report has them.
        counted: How many other findings there are, in words.
    """

    severity: str
    standing: str
    allowed: str
    overridden: tuple[Mapping[str, Any], ...]
    counted: str


@dataclass(frozen=True, kw_only=True)
class FindingRow:
    """One finding.

    Args:
        severity: "error", "warning" or "note".
        overridden: Whether the maker overrode it.
        part: That it is about.
        code: Of the rule.
        message: In words.
        held: What was measured, the limit and where that comes from.
        place: Where it is; empty where it has no place.
    """

    severity: str
    overridden: bool
    part: str
    code: str
    message: str
    held: tuple[Cell, ...]
    place: Cell


def _errors(content: Mapping[str, Any]) -> tuple[list[Any], list[Any]]:
    """Errors that stand, and errors that the maker overrode."""
    errors = [finding for finding in content["findings"] if finding["severity"] == "error"]
    over = [finding for finding in errors if finding["code"] in content["overridden"]]
    return [finding for finding in errors if finding not in over], over


def _codes(found: list[Any]) -> str:
    return ", ".join(dict.fromkeys(finding["code"] for finding in found))


def remarks(content: Mapping[str, Any]) -> tuple[str, ...]:
    """What must stand on every page where it is printed, as plain text."""
    said = ("NOT RELEASED, errors stand", "OVERRIDDEN by the maker")
    return tuple(f"{what}: {_codes(found)}." for what, found in zip(said, _errors(content), strict=True) if found)


def release_state(content: Mapping[str, Any]) -> State:
    """What must be said before anything else."""
    standing, overridden = _errors(content)
    return State(
        severity="error" if standing else "warning" if overridden else "note",
        standing=_codes(standing),
        allowed=_codes(overridden),
        overridden=tuple(overridden),
        counted=_counted(content),
    )


def _counted(content: Mapping[str, Any]) -> str:
    found = [finding["severity"] for finding in content["findings"]]
    counts = ((found.count(severity), severity) for severity in ("warning", "note"))
    return " and ".join(f"{count} {severity}{'' if count == 1 else 's'}" for count, severity in counts if count)


def finding_rows(content: Mapping[str, Any]) -> tuple[FindingRow, ...]:
    """All of them, in the order in which their marks on the drawing are numbered."""
    return tuple(
        FindingRow(
            severity=finding["severity"],
            overridden=finding["severity"] == "error" and finding["code"] in content["overridden"],
            part=finding["part"],
            code=finding["code"],
            message=finding["message"],
            held=tuple(_held(finding)),
            place=_place(finding),
        )
        for finding in content["findings"]
    )


def _held(finding: Mapping[str, Any]) -> Iterator[Cell]:
    for name in ("measured", "limit"):
        if finding[name] is not None:
            yield (f"{name} ", Quantity(show_mm(finding[name])))
    if finding["source"]:
        yield f"source: {finding['source']}"


def _place(finding: Mapping[str, Any]) -> Cell:
    if finding["x"] is None:
        return ""
    height = () if finding["y"] is None else (", y ", size_quantity(finding["y"]))
    return ("at x ", size_quantity(finding["x"]), *height)
