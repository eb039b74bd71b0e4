"""A design's parts as solids, in the files that other programs open."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Final

from bladegeom import writers
from bladegeom.design.design import Design
from bladegeom.design.own_settings import in_own_settings
from bladegeom.knife.grind import Stage
from bladegeom.meshes.knife_mesh import KnifeMesh, knife_mesh
from bladegeom.quantities.declared import checked
from bladegeom.quantities.paths import path_of
from bladegeom.quantities.units import show_fine, show_mass
from bladegeom.writers.files import file_slug, file_stem, require_ending, write_all
from bladegeom.writers.glb import glb
from bladegeom.writers.solid_body import SolidBody
from bladegeom.writers.stl import stl
from bladegeom.writers.three_mf import three_mf

SOLID_ENDINGS: Final = (".3mf", ".stl", ".glb", ".step")


@dataclass(frozen=True, kw_only=True)
class KnifeSolid:
    """The parts of a knife as closed meshes, ready to be saved.

    Args:
        design: What they are of.
        mesh: Its parts at one stage of the work.

    >>> from bladegeom import solid
    >>> made = solid(design, stage="blank")
    >>> [body.name for body in made.bodies], made.three_mf[:2], made.glb[:4]
    (['blade'], b'PK', b'glTF')
    >>> [path.name for path in made.save(folder / "blank.3mf")]
    ['blank.3mf']
    """

    design: Design
    mesh: KnifeMesh

    @cached_property
    def bodies(self) -> tuple[SolidBody, ...]:
        """What stands in the files."""
        return tuple(SolidBody(name=part.name, mesh=part.mesh, material=part.material) for part in self.mesh.parts)

    @property
    def three_mf(self) -> bytes:
        """All parts as one thing, with unit, names and colours."""
        design, stage = self.design, self.mesh.stage
        told = f"{stage}; revision {design.revision_id}; mm, within {self.mesh.tolerance:g} mm"
        return three_mf(self.bodies, title=design.title, description=told, joined=design.knife.name)

    @property
    def glb(self) -> bytes:
        """All parts as programs take them that show things: in metres, with colours."""
        return glb(self.bodies, title=f"{self.design.title}, {self.mesh.stage}")

    @property
    def stls(self) -> dict[str, bytes]:
        """A binary STL in mm for each part, by its name."""
        return {body.name: stl(body.mesh, title=f"{body.name}, {self.design.title}") for body in self.bodies}

    @cached_property
    def step(self) -> bytes:
        """All parts with true surfaces, by a CAD kernel; textures are left out.

        Raises:
            SolidError: The kernel is not installed, or cannot make a part soundly.
        """
        told = f"{self.mesh.stage}; revision {self.design.revision_id}; mm; textures left out"
        return writers.step(self.design.knife, self.mesh.stage, title=self.design.title, description=told)

    @property
    def told(self) -> tuple[str, ...]:
        """Each part with its volume and mass."""
        return tuple(_told(self))

    def save(self, path: str | Path) -> tuple[Path, ...]:
        """Write a 3MF, a GLB, a STEP or STL files; of several parts each STL has its part's name behind the given one.

        Args:
            path: Ends with .3mf, .glb, .step or .stl.

        Returns:
            What was written.

        Raises:
            ExportError: The name ends otherwise, something else stands in its place, or it cannot be written.
            SolidError: STEP without its kernel, or a part that the kernel cannot make soundly.
        """
        path = path_of("save", path)
        require_ending("save", path, *SOLID_ENDINGS)
        return write_all(path.parent, self.files(path.stem, path.suffix))

    def files(self, stem: str, ending: str) -> dict[str, bytes]:
        """Contents by the names of files.

        Args:
            stem: Of the names.
            ending: One of :data:`SOLID_ENDINGS`.
        """
        match ending.lower():
            case ".3mf":
                return {f"{stem}{ending}": self.three_mf}
            case ".glb":
                return {f"{stem}{ending}": self.glb}
            case ".step":
                return {f"{stem}{ending}": self.step}
        parts = self.stls
        if len(parts) == 1:
            return {f"{stem}{ending}": next(iter(parts.values()))}
        return {f"{stem}_{file_slug(name)}{ending}": data for name, data in parts.items()}

    @property
    def stem(self) -> str:
        """Of files that say what they are by their names."""
        knife = self.design.knife
        return f"{file_stem(knife.name, knife.revision)}_{self.mesh.stage}"


@in_own_settings
def solid(design: Design, *, stage: Stage = "finished", tolerance: float = 0.02) -> KnifeSolid:
    """The parts of a design as closed meshes, to be saved as 3MF, STL, GLB or STEP.

    Args:
        design: The knife with all that decides about it.
        stage: Of the work: "blank", "rough", "finished" or "sharp"; before "finished" there is only the steel.
        tolerance: How far a triangle may stand off the surface behind it, mm.

    Returns:
        The parts; ``solid(design).save("knife.3mf")`` writes them.

    Raises:
        ParameterError: A value of another kind, or a tolerance out of all reason.
        UnknownNameError: No such stage.

    >>> [path.name for path in solid(design).save(folder / "knife.3mf")]
    ['knife.3mf']
    """
    checked("solid: design", design, Design)
    return KnifeSolid(design=design, mesh=knife_mesh(design.knife, stage, tolerance))


def _told(made: KnifeSolid) -> Iterator[str]:
    for part in made.mesh.parts:
        size = f"{part.mesh.moments.amount / 1000:.2f} cm3, {show_mass(part.mass.amount)}"
        yield f"{part.name}: {part.material.name}, {size}, {len(part.mesh.triangles)} triangles"
    for what in made.mesh.lacks:
        yield f"not in it: the {what}, which the design does not describe"
    yield f"closed meshes in mm, within {show_fine(made.mesh.tolerance)} of the surfaces"
