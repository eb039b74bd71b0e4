"""The report of a design at a glance, and section by section; what only other sections need is not computed."""

from __future__ import annotations

from typing import Annotated, Final

from bladegeom.design.design import Design
from bladegeom.design.own_settings import in_own_settings
from bladegeom.design.report import report_of
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import UnknownNameError
from bladegeom.quantities.field_rules import Says
from bladegeom.signoff.order_lines import traceability_lines
from bladegeom.writers.report_glance import GLANCE_KEYS, as_glance
from bladegeom.writers.report_sections import REPORT_SECTIONS

_ORDER = "order"
"""The one section that is no part of the whole text, which tells of the knife."""

SECTION_NAMES: Final = (*REPORT_SECTIONS, _ORDER)
"""By which a section is asked for."""


@in_own_settings
def glance(design: Design) -> str:
    """The report on one screen: sizes, mass, balance with a bar, errors, whether it is released, what more there is.

    Args:
        design: The knife with all that decides about it.

    Returns:
        At most 24 lines of 80 columns.

    Raises:
        ParameterError: Something else than a design.

    >>> for line in glance(design).splitlines()[6:11]:
    ...     print(line)
    ...
    mass               175.3 g: blade 111.3 g, scales 54.5 g, pin 9.5 g
    balance            31.87 mm (1.255 in) behind the handle front at the spine
                                       handle front
       butt =================================|------------------------------ tip
                                    ^ balance
    """
    checked("glance: design", design, Design)
    return as_glance(report_of(design, GLANCE_KEYS), SECTION_NAMES)


@in_own_settings
def report_section(design: Design, name: str) -> str:
    """One section of the report, as it stands in the whole text.

    Args:
        design: The knife with all that decides about it.
        name: Such as "bevel"; the last line of :func:`glance` names all.

    Raises:
        ParameterError: Something else than a design, or no text.
        UnknownNameError: No section of that name.

    >>> print(report_section(design, "bevel").splitlines()[0])
    bevel              flat, 17.00 mm (0.669 in) high, 5.21 degrees a side
    """
    checked("report section: design", design, Design)
    checked("report section: name", name, Annotated[str, Says("bevel")])
    if name not in SECTION_NAMES:
        raise UnknownNameError("section of the report", name, SECTION_NAMES, near=())
    if name == _ORDER:
        return _order_text(design)
    section = REPORT_SECTIONS[name]
    return (section.text(report_of(design, section.keys)) or _nothing(name)) + "\n"


def _order_text(design: Design) -> str:
    if design.order is None:
        return _nothing(_ORDER) + "\n"
    return "\n".join(traceability_lines(design.order, design.landings, design.order_findings)) + "\n"


def _nothing(name: str) -> str:
    return f"nothing to tell of the {name}: the design has none"
