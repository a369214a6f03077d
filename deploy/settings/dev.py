"""One machine, no server to install: the demo, and working on the code."""

from deploy.settings import env
from deploy.settings.base import *  # noqa: F403 - settings extend each other by names
from deploy.settings.base import RUN
from deploy.settings.keys import secret_key

SECRET_KEY = secret_key(RUN / "keys" / "secret_key")
DEBUG = env.flag("POURTALLY_DEBUG", default=False)
WHITENOISE_USE_FINDERS = DEBUG
WHITENOISE_AUTOREFRESH = DEBUG
ALLOWED_HOSTS = env.words("POURTALLY_HOSTS", default=("localhost", "127.0.0.1", "[::1]"))

# A phone on the same network is served over TLS; its cookies then never travel in the clear.
OVER_TLS = env.flag("POURTALLY_TLS", default=False)
SESSION_COOKIE_SECURE = OVER_TLS
CSRF_COOKIE_SECURE = OVER_TLS
CA_CERTIFICATE = RUN / "tls" / "authority.pem" if OVER_TLS else None

if DEBUG:
    STORAGES = {
        "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
        "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
    }
