"""The practice's own laptop: loopback only, so plain HTTP stays inside the machine."""

from countermove.clinic.settings.base import *  # noqa: F403

ALLOWED_HOSTS = ["127.0.0.1", "localhost", "[::1]"]

# Style and script are served from where they were installed: no step between install and page.
STATIC_ROOT = None
WHITENOISE_USE_FINDERS = True
