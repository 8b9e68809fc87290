"""The whole room is tested in seconds: few examples here, many in the long runs (tests/soak)."""

import os

from hypothesis import settings

settings.register_profile("quick", max_examples=40, deadline=None, derandomize=True)
settings.register_profile("guards", max_examples=100, deadline=None, derandomize=True)
settings.register_profile("long", max_examples=2000, deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "quick"))
