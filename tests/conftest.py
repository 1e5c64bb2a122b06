import os

from hypothesis import settings

# Fixed examples in CI, so that a red run means a change; new ones on every run at a desk.
settings.register_profile("ci", derandomize=True, deadline=None)
settings.register_profile("desk", deadline=None)
settings.load_profile("ci" if os.environ.get("CI") else "desk")
