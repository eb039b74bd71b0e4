"""Blade and handle geometry for custom knife makers.

Names are imported when first used, so that ``bladegeom --help`` need not wait for the geometry libraries; what there
is stands in ``__init__.pyi``.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
