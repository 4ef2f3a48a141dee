"""Settings that every test shares."""

from __future__ import annotations

import os

from hypothesis import settings

# Read when Textual is imported: screens are compared as they stand, not half-way through a fade.
os.environ["TEXTUAL_ANIMATIONS"] = "none"

# The same examples in every run, and no time limit that a busy machine could break.
settings.register_profile("steady", derandomize=True, deadline=None, database=None)
settings.register_profile("soak", max_examples=2_000, deadline=None, print_blob=True)
settings.load_profile("steady")
