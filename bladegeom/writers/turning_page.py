"""The page to turn a knife in: one HTML file with its shapes, its scripts and the library that draws them."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Final

from markupsafe import Markup

from bladegeom.design.design import Design
from bladegeom.grinding.zones import placed_zones
from bladegeom.knife.finding import severity_counts
from bladegeom.knife.grind import Stage
from bladegeom.knife.knife import Knife
from bladegeom.knife.zone import MarkZone, TextureZone
from bladegeom.meshes.knife_mesh import KnifeMesh
from bladegeom.quantities.balance_bands import from_front
from bladegeom.quantities.units import show_length, show_mass
from bladegeom.writers.html import html_page
from bladegeom.writers.packed_meshes import STEP
from bladegeom.writers.turning_told import turning_told

_FOLDER: Final = files("bladegeom.writers")

_LIBRARY: Final = "turning/three.min.js"

_OWN: Final = tuple(
    f"turning/{name}.js"
    for name in (*("words", "meshes", "section", "light", "knife", "stage", "turn", "measure", "marks", "cut", "page"),)
)
"""Our own files, one script in this order."""

_STYLE: Final = "turning/turning.css"

_VIEWS: Final = {
    "right": "Right side",
    "left": "Left side",
    "spine": "Spine",
    "edge": "Edge",
    "three-quarter": "Three-quarter",
}


@dataclass(frozen=True)
class Inline:
    """A script or a style sheet within the page.

    Args:
        text: Of it.
        checksum: By which the page's policy lets it in: SHA-256 in base64, Content Security Policy Level 3, 2.3.
        is_module: Whether it is a script whose names are its own.
    """

    text: Markup
    checksum: str
    is_module: bool = False


def turning_html(design: Design, stages: Mapping[Stage, KnifeMesh], *, customer: bool) -> bytes:
    """The page; the same design gives the same bytes.

    Args:
        design: The knife, and what follows from it.
        stages: Its meshes, in the order of the work.
        customer: Whether it leaves out what was found, which is the maker's business.
    """
    told, letters = turning_told(design, stages, customer=customer)
    return html_page(
        "turning.html.j2",
        title=design.title,
        name=design.knife.name,
        mark=design.revision_id,
        scripts=(_inline(_LIBRARY), _inline(*_OWN, is_module=True)),
        style=_inline(_STYLE),
        views=_VIEWS,
        stages=told["stages"],
        balance=from_front(design.weighing.balance_from_front),
        is_makers=not customer,
        remarks=() if customer else design.remarks,
        counted=severity_counts(finding.severity for finding in design.findings).capitalize(),
        marked=any(finding.x is not None for finding in design.findings),
        tolerance=show_length(max(made.tolerance for made in stages.values()) + STEP),
        lacks=next(iter(made.lacks for made in stages.values() if made.lacks), ()),
        is_marked=any(isinstance(zone, MarkZone) for zone in design.knife.zones),
        carved=_carved(design.knife),
        told=told,
        meshes=Markup(letters),
    )


def _carved(knife: Knife) -> str:
    """What textures take off, which no weighing counts; nothing where there are none."""
    carved = [placed.mass for placed in placed_zones(knife) if isinstance(placed.zone, TextureZone)]
    return show_mass(sum(carved)) if carved else ""


@cache
def _inline(*names: str, is_module: bool = False) -> Inline:
    text = "\n".join(_FOLDER.joinpath(name).read_text(encoding="utf-8") for name in names)
    digest = hashlib.sha256(text.encode()).digest()
    return Inline(Markup(text), base64.b64encode(digest).decode(), is_module)
