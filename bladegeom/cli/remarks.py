"""What every sheet must say of a design with errors."""

from __future__ import annotations

from collections.abc import Sequence

from bladegeom.cli.tell import errors_of
from bladegeom.reason.finding import Finding


def remarks_of(findings: Sequence[Finding], allowed: Sequence[str] = ()) -> list[str]:
    """Errors that stand, and errors that the maker overrode.

    Args:
        findings: Of the design and its order.
        allowed: Codes that the maker overrides.
    """
    errors = errors_of(findings)
    out = []
    for code in dict.fromkeys(f.code for f in errors if f.code in allowed):
        first, *others = (f.message for f in errors if f.code == code)
        more = f" (and {len(others)} more, see the report)" if others else ""
        out.append(f"OVERRIDDEN by the maker: {code}: {first}{more}")
    standing = [f.code for f in errors if f.code not in allowed]
    if standing:
        out.append(f"NOT RELEASED, errors stand: {', '.join(dict.fromkeys(standing))}. See the report.")
    return out
