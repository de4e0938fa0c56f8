# SPDX-License-Identifier: MIT
"""What every test shares: no real screen, and property tests that are the same every time.

``HYPOTHESIS_PROFILE=thorough`` draws many more examples, new ones each run.
"""

import os

# Before anything loads Qt: tests never open a window on the developer's screen.
os.environ["QT_QPA_PLATFORM"] = "offscreen"

from hypothesis import HealthCheck, Verbosity, settings

settings.register_profile(
    "ci",
    max_examples=25,
    deadline=None,
    derandomize=True,
    print_blob=True,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.register_profile(
    "thorough",
    max_examples=500,
    deadline=None,
    print_blob=True,
    verbosity=Verbosity.normal,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "ci"))
