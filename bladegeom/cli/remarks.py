"""What every sheet must say of a design with errors."""

from __future__ import annotations

from collections.abc import Sequence

from bladegeom.cli.tell import errors_of
from bladegeom.knife.finding import Finding
from bladegeom.quantities.errors import ExportError, UnknownNameError


def remarks_of(findings: Sequence[Finding], allowed: Sequence[str] = ()) -> list[str]:
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
    return out


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
