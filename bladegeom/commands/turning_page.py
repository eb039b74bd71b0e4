"""The page to turn a knife in, as one HTML file."""

from __future__ import annotations

from bladegeom.design.design import Design
from bladegeom.design.own_settings import in_own_settings
from bladegeom.knife.grind import STAGES
from bladegeom.meshes.knife_mesh import knife_mesh
from bladegeom.quantities.declared import checked
from bladegeom.writers.files import Files, file_stem
from bladegeom.writers.turning_page import turning_html

_TOLERANCE = 0.02
"""Of the shapes against the laws of the knife, mm; own choice: half of what a caliper shows in a thickness."""


@in_own_settings
def turning_page(design: Design, *, customer: bool = False) -> Files:
    """A knife to turn in a browser, at every stage of the work: to look at, take apart, cut across and measure.

    The page is one file that holds all it needs; it opens from a folder, on a phone too, and asks no network.

    Args:
        design: The knife with all that decides about it.
        customer: Whether it is the customer's: what was found is left out then.

    Returns:
        The file by its name; ``.save("folder")`` writes it.

    Raises:
        ParameterError: Something else than a design.

    >>> page = turning_page(design)
    >>> list(page)
    ['rigging-knife_rev-A_turn.html']
    """
    checked("turning page: design", design, Design)
    checked("turning page: customer", customer, bool)
    stages = {stage: knife_mesh(design.knife, stage, _TOLERANCE) for stage in STAGES}
    stem = file_stem(design.knife.name, design.knife.revision)
    name = f"{stem}_turn_customer.html" if customer else f"{stem}_turn.html"
    return Files({name: turning_html(design, stages, customer=customer)})
