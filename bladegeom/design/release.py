"""Which errors keep a design back, which of them the maker allows, and what every sheet must say of them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from bladegeom.knife.finding import Finding
from bladegeom.quantities.errors import UnknownNameError
from bladegeom.quantities.file_errors import ExportError, NotReleasedError


def errors_of(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Those that keep a cut file back."""
    return tuple(finding for finding in findings if finding.severity == "error")


def standing_of(findings: Sequence[Finding], allowed: Sequence[str] = ()) -> tuple[Finding, ...]:
    """Errors that the maker does not allow.

    Raises:
        ExportError: A code is allowed of a design without any error.
        UnknownNameError: It has no error of that code.
    """
    require_known(allowed, findings)
    return tuple(finding for finding in errors_of(findings) if finding.code not in allowed)


def remarks_of(findings: Sequence[Finding], allowed: Sequence[str] = ()) -> tuple[str, ...]:
    """Errors that stand, and errors that the maker overrode; where none stands, that it is released with these.

    Args:
        findings: Of the design and its order.
        allowed: Codes that the maker overrides.
    """
    errors = errors_of(findings)
    over, standing = (
        list(dict.fromkeys(f.code for f in errors if (f.code in allowed) == wanted)) for wanted in (True, False)
    )
    out = [] if standing or not over else [f"Released with {', '.join(over)} allowed by the maker."]
    for code in over:
        first, *others = (f.message for f in errors if f.code == code)
        more = f" (and {len(others)} more, see the report)" if others else ""
        out.append(f"OVERRIDDEN by the maker: {code}: {first}{more}")
    if standing:
        out.append(f"NOT RELEASED, errors stand: {', '.join(standing)}. See the report.")
    return tuple(out)


def require_known(codes: Sequence[str], findings: Sequence[Finding]) -> None:
    """An override that matches nothing is a slip of the pen, or an error that is mended already.

    Raises:
        ExportError: The design has no error.
        UnknownNameError: It has no error of that code.
    """
    found = {finding.code for finding in errors_of(findings)}
    for code in codes:
        if not found:
            raise ExportError(f"--allow {code}: this design has no error to allow; leave it out")
        if code not in found:
            raise UnknownNameError("error of this design", code, found)


def refusal(codes: Iterable[str], way_out: str) -> str:
    """Why a cut file is refused.

    Args:
        codes: Of the errors that stand.
        way_out: How the maker allows one of them, with its code in braces.
    """
    allowing = " ".join(way_out.format(code) for code in dict.fromkeys(codes))
    return f"cut file refused: mend the design, or take the risk with {allowing}"


def require_released(standing: Sequence[Finding]) -> None:
    """That no error stands.

    Args:
        standing: Errors that the maker does not allow.

    Raises:
        NotReleasedError: There are any.
    """
    if standing:
        codes = [finding.code for finding in standing]
        raise NotReleasedError(codes, refusal(codes, ".allowing({0!r})"))
