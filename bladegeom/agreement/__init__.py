"""What maker and customer have agreed on, and where a design has left it.

Which changes a customer can see stands in one table; the page that is signed is a sheet like others. Most designs have
no agreement yet, so that what reads one and compares it is imported when the first is met; ``__init__.pyi`` lists it.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
