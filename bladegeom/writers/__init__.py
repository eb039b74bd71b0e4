"""Writers: SVG, PDF, HTML, JSON, CSV and text; files whole or not at all.

The same input gives the same bytes. What needs the library of a file format is imported when it first writes one; which
these are stands in ``__init__.pyi``.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
