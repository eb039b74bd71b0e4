"""Settings that every test shares."""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("default", max_examples=50, derandomize=True, deadline=None)
settings.register_profile("long", max_examples=2000, deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "default"))
