"""What holds everywhere. The environment is read through `env` alone."""

from datetime import timedelta
from pathlib import Path
from typing import Any

from csp.constants import NONE, SELF
from django.utils.translation import gettext_lazy as _

from deploy.settings import demo, env, sqlite

ROOT = Path(__file__).resolve().parent.parent.parent
RUN = env.folder("POURTALLY_RUN", default=ROOT / ".run")

DEBUG = False
ALLOWED_HOSTS: list[str] = []
ROOT_URLCONF = "deploy.urls"
WSGI_APPLICATION = "deploy.wsgi.application"

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django.contrib.humanize",
    "rest_framework",
    "drf_spectacular",
    "drf_spectacular_sidecar",
    "projects",
    "estimates",
    "inventory",
    "api",
    "deploy",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    # A form with its lists of materials has 70 kB of text and travels as 7; Django pads answers of a random
    # length against guessing at what is compressed with them.
    "django.middleware.gzip.GZipMiddleware",
    "csp.middleware.CSPMiddleware",
    "deploy.middleware.response_headers",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "projects.pages.middleware.attach_actor",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "deploy.middleware.ring_the_bell",
]

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.template.context_processors.i18n",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "projects.pages.context.frame",
            ],
        },
    },
]

# Database. PostgreSQL when a URL is given, else the embedded SQLite. No ATOMIC_REQUESTS: each business act
# opens its own transaction, and with IMMEDIATE every page would otherwise take the write lock.
DATABASES: dict[str, dict[str, Any]] = {
    "default": env.postgres("DATABASE_URL") or sqlite.database(RUN / "db.sqlite3"),
}
if DATABASES["default"]["ENGINE"].endswith("postgresql"):
    DATABASES["default"] |= {"CONN_MAX_AGE": 60, "CONN_HEALTH_CHECKS": True, "ATOMIC_REQUESTS": False}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

# Jobs. The outbox table is the record; the broker only rings. An empty REDIS_URL means folders as the broker.
REDIS_URL = env.text("REDIS_URL", default="")
OUTBOX_LEASE = timedelta(seconds=env.integer("POURTALLY_LEASE_SECONDS", default=300, minimum=1))
OUTBOX_SWEEP_SECONDS = 2
EXTRA_JOBS: dict[str, str] = {}
_SHARED = {
    "BACKEND": "django.core.cache.backends.redis.RedisCache",
    "LOCATION": REDIS_URL,
    "KEY_PREFIX": "pourtally",
}
CACHES: dict[str, dict[str, Any]] = {
    "default": _SHARED
    if REDIS_URL
    else {"BACKEND": "django.core.cache.backends.filebased.FileBasedCache", "LOCATION": RUN / "cache"},
    # Asked by every request to the API: without Redis each web process counts for itself.
    "throttle": _SHARED
    if REDIS_URL
    else {"BACKEND": "django.core.cache.backends.locmem.LocMemCache", "LOCATION": "throttle"},
}

# The most that one person may ask of the API in a minute; 0 sets no limit.
API_PER_MINUTE = env.integer("POURTALLY_API_PER_MINUTE", default=1_200, minimum=0)

# People. The demo's sign-ins stand on the sign-in page, and only there.
DEMO = env.flag("POURTALLY_DEMO", default=False)
DEMO_PEOPLE = demo.PEOPLE if DEMO else ()
AUTH_USER_MODEL = "projects.Person"
LOGIN_URL = "projects:sign_in"
LOGIN_REDIRECT_URL = "/"
LOGOUT_REDIRECT_URL = "projects:sign_in"
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.ScryptPasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
]
SESSION_COOKIE_AGE = int(timedelta(days=14).total_seconds())
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_SAMESITE = "Lax"

# What a browser may do with our pages. Nothing inline, nothing from elsewhere.
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "object-src": [NONE],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
        "form-action": [SELF],
    },
}
PERMISSIONS_POLICY = "camera=(self), geolocation=(), microphone=(), payment=(), usb=()"
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"

# Language, dates and numbers.
USE_I18N = True
USE_TZ = True
TIME_ZONE = env.text("POURTALLY_TIME_ZONE", default="UTC")
LANGUAGE_CODE = "en"
FORMAT_MODULE_PATH = ["deploy.formats"]
LANGUAGES = [("en", _("English"))]

# Files.
STATIC_URL = "/static/"
STATIC_ROOT = RUN / "static"
CA_CERTIFICATE: Path | None = None
MEDIA_ROOT = RUN / "uploads"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
}
WHITENOISE_ALLOW_ALL_ORIGINS = False
EMAIL_BACKEND = "django.core.mail.backends.filebased.EmailBackend"
EMAIL_FILE_PATH = RUN / "mail"
# Where this service is reached from outside: links in mails, and the codes on printed orders.
PUBLIC_ADDRESS = env.text("POURTALLY_ADDRESS", default="http://localhost:8000").rstrip("/")
DEFAULT_FROM_EMAIL = env.text("POURTALLY_MAIL_FROM", default="pourtally@localhost")

REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": ["api.authentication.SessionOfPages"],
    "DEFAULT_PERMISSION_CLASSES": ["api.permissions.SignedIn"],
    "DEFAULT_THROTTLE_CLASSES": ["api.throttles.PerPerson"],
    "DEFAULT_PARSER_CLASSES": ["api.parsers.StrictJson"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "DEFAULT_METADATA_CLASS": None,
    "EXCEPTION_HANDLER": "api.errors.handle",
    "TEST_REQUEST_DEFAULT_FORMAT": "json",
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Pourtally",
    "DESCRIPTION": (
        "Bills of quantities, deliveries, stock, reorders and spend for cast-in-place slabs.\n\n"
        "Sign in on the pages; the session serves here too. Every act (everything but GET) carries the "
        "session's CSRF token in `X-CSRFToken` and a key of the client's own making in `Idempotency-Key`: "
        "sent again under the same key it is not done again. A refusal has a stable `code`; what is not "
        "yours answers like what does not exist. Who asks too much in a minute is answered 429, code "
        "`throttled`, with `Retry-After`. Quantities are whole stock units with their unit, and a "
        "decimal in the unit shown; money is whole minor units with its currency, and is left out for who "
        "may not see it. Lists come in pages of at most 200 rows."
    ),
    "VERSION": "1",
    "SCHEMA_PATH_PREFIX": "/api/v1",
    "SERVE_INCLUDE_SCHEMA": False,
    "SERVE_PERMISSIONS": ["api.permissions.SignedIn"],
    "SERVE_PUBLIC": True,  # whoever may read the document reads all of it
    "SWAGGER_UI_DIST": "SIDECAR",
    "ENUM_NAME_OVERRIDES": {
        "OrderWay": "api.resources.orders.ALL_WAYS",
        "OrderToldBy": "api.resources.orders.WAYS",
        "ChargeBasis": "api.resources.enquiries.BASES",
        "HireBasis": "api.resources.hires.BASES",
        "HireEndKind": "api.resources.hires.ENDS",
        "BillState": "api.resources.bills.STATES",
        "CountState": "api.resources.counts.STATES",
        "SlipKind": "api.resources.slips.KINDS",
        "OfflineEntryKind": "api.resources.offline.KINDS",
        "OfflineEntryState": "api.resources.offline.STATES",
        "SupplierBillKind": "api.resources.supplier_bills.KINDS",
        "SupplierBillState": "api.resources.supplier_bills.STATES",
        "OrderState": "api.resources.orders.STATES",
        "TransferState": "api.resources.transfers.STATES",
        "PourState": "api.resources.pours.STATES",
        "SuggestionState": "api.resources.plan.STATES",
        "SuggestionKind": "api.resources.plan.KINDS",
    },
}

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"lines": {"()": "deploy.logs.JsonLines"}},
    "handlers": {"stderr": {"class": "logging.StreamHandler", "formatter": "lines"}},
    "root": {"handlers": ["stderr"], "level": env.text("POURTALLY_LOG_LEVEL", default="INFO").upper()},
    "loggers": {
        "django": {"handlers": [], "propagate": True},
        "celery": {"level": "WARNING"},
    },
}
