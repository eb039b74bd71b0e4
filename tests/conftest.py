"""Settings that every test shares."""

from __future__ import annotations

import os

from draws import FULL, LONG, QUICK
from hypothesis import settings

settings.register_profile("quick", max_examples=QUICK, derandomize=True, deadline=None)
settings.register_profile("full", max_examples=FULL, derandomize=True, deadline=None)
settings.register_profile("long", max_examples=LONG, deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "quick"))
