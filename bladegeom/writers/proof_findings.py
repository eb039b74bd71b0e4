"""The findings of the proof, and what it says of the design as a whole: released, overridden, or not."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from bladegeom.quantities.units import show_mm
from bladegeom.writers.proof_html import size, text

_SHAPES = {"error": "\N{BLACK SQUARE}", "warning": "\N{BLACK UP-POINTING TRIANGLE}", "note": "\N{BLACK CIRCLE}"}
"""As the marks on the drawing have them."""


def _errors(content: Mapping[str, Any]) -> tuple[list[Any], list[Any]]:
    """Errors that stand, and errors that the maker overrode."""
    errors = [one for one in content["findings"] if one["severity"] == "error"]
    over = [one for one in errors if one["code"] in content["overridden"]]
    return [one for one in errors if one not in over], over


def _codes(found: list[Any]) -> str:
    return ", ".join(dict.fromkeys(one["code"] for one in found))


def remarks(content: Mapping[str, Any]) -> tuple[str, ...]:
    """What must stand on every page where it is printed, as plain text."""
    said = ("NOT RELEASED, errors stand", "OVERRIDDEN by the maker")
    return tuple(f"{what}: {_codes(found)}." for what, found in zip(said, _errors(content), strict=True) if found)


def state(content: Mapping[str, Any]) -> str:
    """What must be said before anything else."""
    standing, overridden = _errors(content)
    lines = []
    if standing:
        lines.append(
            f"<b>NOT RELEASED.</b> Errors stand: {text(_codes(standing))}. "
            'Do not cut; see the <a href="#findings">findings</a>.'
        )
    if overridden and not standing:
        lines.append(f"<b>Released</b> with {text(_codes(overridden))} allowed by the maker.")
    lines += [f"<b>OVERRIDDEN by the maker:</b> {text(one['code'])}: {text(one['message'])}" for one in overridden]
    if not lines:
        lines.append("<b>No error stands.</b> " + _counted(content))
    kind = "error" if standing else "warning" if overridden else "note"
    return f'<div class="state {kind}">{"".join(f"<p>{line}</p>" for line in lines)}</div>\n'


def _counted(content: Mapping[str, Any]) -> str:
    found = [one["severity"] for one in content["findings"]]
    counts = ((found.count(one), one) for one in ("warning", "note"))
    told = [f"{count} {one}{'' if count == 1 else 's'}" for count, one in counts if count]
    return f'{" and ".join(told)}: see the <a href="#findings">findings</a>.' if found else "Nothing was found."


def findings(content: Mapping[str, Any]) -> str:
    """All of them, numbered as their marks on the drawing."""
    if not content["findings"]:
        return "<p>Nothing was found.</p>\n"
    legend = ", ".join(f'<span class="{name}">{shape}</span> {name}' for name, shape in _SHAPES.items())
    rows = "".join(_finding(i, one, content) for i, one in enumerate(content["findings"], start=1))
    return (
        f'<p class="print-words">{legend}. The numbers stand on the side view too. What is measured, and its limit, '
        f'are in mm unless the sentence names another unit.</p>\n<ol class="findings">{rows}</ol>\n'
    )


def _finding(number: int, one: Mapping[str, Any], content: Mapping[str, Any]) -> str:
    severity, code = one["severity"], one["code"]
    shape = f'<span class="shape {severity}" aria-hidden="true">{_SHAPES[severity]}</span>'
    over = " OVERRIDDEN by the maker" if severity == "error" and code in content["overridden"] else ""
    held = "; ".join(_held(number, one))
    return (
        f'<li id="finding-{number}"><h3>{shape}{number}. <span class="{severity}">{severity.capitalize()}{over}</span>'
        f", {text(one['part'])} <code>{text(code)}</code></h3>"
        f'<p>{text(one["message"])}</p><p class="held">{held}</p></li>\n'
    )


def _held(number: int, one: Mapping[str, Any]) -> Iterator[str]:
    for name in ("measured", "limit"):
        if one[name] is not None:
            yield f'{name} <span class="q">{show_mm(one[name])}</span>'
    if one["source"]:
        yield f"source: {text(one['source'])}"
    if one["x"] is not None:
        height = "" if one["y"] is None else f", y {size(one['y'])}"
        yield f'<a href="#mark-{number}">at x {size(one["x"])}{height}</a>'
