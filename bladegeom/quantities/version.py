"""The version of this package, as it is installed."""

from __future__ import annotations

from importlib.metadata import version

__version__ = version("bladegeom")
