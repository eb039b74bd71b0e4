"""Parts of the knife as solids with true surfaces, by the OCC kernel, which an extra brings.

Which names there are is said by the modules themselves; import from them.
"""

from importlib.util import find_spec

from bladegeom.quantities.solid_errors import SolidError

if find_spec("OCP") is None:
    raise SolidError(
        "STEP needs the OCC kernel, which is not installed; where bladegeom was installed from, "
        "'python -m pip install \".[step]\"' adds it (a gigabyte)"
    )
