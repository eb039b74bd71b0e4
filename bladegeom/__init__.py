"""Blade and handle geometry for custom knife makers.

Names are imported when first used, so that ``bladegeom --help`` need not wait for the geometry libraries; what there
is stands in ``__init__.pyi``.
"""

import os

import lazy_loader

if not os.path.isfile(__file__):  # noqa: PTH113 - pathlib takes a third of the time that help may take
    raise ImportError(
        "bladegeom does not run from within an archive, as it reads tables, letters and pages that lie beside it: "
        "install it with pip"
    )

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
