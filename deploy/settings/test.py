"""For pytest: SQLite in a file of its own for each process, or the PostgreSQL that DATABASE_URL names."""

import atexit
import os
import secrets
import shutil
import tempfile
from pathlib import Path

# Each test process keeps its run-time files apart from the demo's, and from those of other test processes,
# which must not inherit the folder either. It is made by whoever writes into it first.
_OWN = None if os.environ.get("POURTALLY_RUN") else f"pourtally-test-{secrets.token_hex(8)}"
if _OWN:
    os.environ["POURTALLY_RUN"] = str(Path(tempfile.gettempdir()) / _OWN)
    atexit.register(shutil.rmtree, os.environ["POURTALLY_RUN"], ignore_errors=True)

from deploy.settings import base  # noqa: E402 - the folder above must be known first
from deploy.settings.base import *  # noqa: E402, F403 - settings extend each other by names

if _OWN:
    del os.environ["POURTALLY_RUN"]

SECRET_KEY = "only for tests, where nothing is kept"  # noqa: S105 - guards nothing
ALLOWED_HOSTS = ["localhost", "127.0.0.1", "testserver"]
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
API_PER_MINUTE = 0  # many tests send more in a second than a person does in a minute
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = True

DATABASES = base.DATABASES
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    # A file, since memory would share a cache between threads and lock in ways the real thing does not.
    DATABASES["default"]["TEST"] = {"NAME": str(base.RUN / "test.sqlite3")}

# Jobs of the tests' own: one leaves a row, so that a test can count; one always fails.
EXTRA_JOBS = {"deploy.leave_mark": "tests.deploy.jobs.leave_mark", "deploy.fail": "tests.deploy.jobs.fail"}
