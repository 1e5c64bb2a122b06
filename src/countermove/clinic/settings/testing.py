"""For tests: like the desk, with hashing that does not cost seconds."""

from countermove.clinic.settings.desk import *  # noqa: F403

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
ALLOWED_HOSTS = ["testserver", "127.0.0.1", "localhost"]
