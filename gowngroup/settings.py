"""Settings: SQLite by default, PostgreSQL by DATABASE_URL; strict everywhere but in the demo on plain http."""

from pathlib import Path

import dj_database_url
import font_source_sans_pro
import font_source_serif_pro
import fontpkg_rubik
from csp.constants import NONE, SELF
from environs import Env

env = Env()
BASE_DIR = Path(__file__).resolve().parent.parent
VAR_DIR = Path(env.str("GOWNGROUP_VAR_DIR", default=str(BASE_DIR / "var")))

IS_DEMO = env.bool("GOWNGROUP_DEMO", default=False)
SECRET_KEY = env.str(
    "SECRET_KEY", default="demo-only-never-for-real-data-0123456789-abcdefghijk" if IS_DEMO else ""
)
if not SECRET_KEY:
    raise SystemExit(
        "Gowngroup does not start: set SECRET_KEY to a long random text, or GOWNGROUP_DEMO=1 to look at the demo."
    )
DEBUG = False
SITE_ADDRESS = env.str("SITE_ADDRESS", default="http://127.0.0.1:8000" if IS_DEMO else "https://localhost")
ALLOWED_HOSTS = env.list("ALLOWED_HOSTS", default=["127.0.0.1", "localhost", "[::1]", "testserver"])
CSRF_TRUSTED_ORIGINS = env.list("CSRF_TRUSTED_ORIGINS", default=[SITE_ADDRESS])

INSTALLED_APPS = [
    "gowngroup.records",
    "gowngroup.people",
    "gowngroup.catalog",
    "gowngroup.stock",
    "gowngroup.wards",
    "gowngroup.batches",
    "gowngroup.gowns",
    "gowngroup.deliveries",
    "gowngroup.printing",
    "gowngroup.exchange",
    "gowngroup.home",
    "gowngroup.demo",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django.contrib.humanize",
    "crispy_forms",
    "csp",
    "django_htmx",
    "django_tasks",
    "django_tasks_db",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "csp.middleware.CSPMiddleware",
    "gowngroup.records.middleware.RefuseNullBytes",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "gowngroup.records.middleware.CompressText",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "gowngroup.people.middleware.ReaderSettings",
    "gowngroup.records.middleware.AskForPatience",
]

ROOT_URLCONF = "gowngroup.urls"
WSGI_APPLICATION = "gowngroup.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": False,
        "OPTIONS": {
            "builtins": ["gowngroup.records.templatetags.written"],
            "loaders": [
                (
                    "django.template.loaders.cached.Loader",
                    [
                        "django.template.loaders.filesystem.Loader",
                        "django.template.loaders.app_directories.Loader",
                    ],
                )
            ],
            "context_processors": [
                "django.template.context_processors.request",
                "django.template.context_processors.i18n",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "gowngroup.home.context.site",
            ],
        },
    }
]

# Deferred transactions and the default time-out lose writers under load; these options lose none.
SQLITE_OPTIONS = {
    "transaction_mode": "IMMEDIATE",
    "timeout": 20,
    "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON;",
}
DATABASES = {
    "default": dj_database_url.parse(
        env.str("DATABASE_URL", default=f"sqlite:///{VAR_DIR / 'gowngroup.sqlite3'}"), conn_health_checks=True
    )
}
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    DATABASES["default"]["OPTIONS"] = SQLITE_OPTIONS
    VAR_DIR.mkdir(parents=True, exist_ok=True)  # SQLite makes the file, and no folder for it
else:
    DATABASES["default"]["CONN_MAX_AGE"] = 60
    # A report's query is compiled for seconds to run for tenths of one.
    DATABASES["default"].setdefault("OPTIONS", {}).setdefault("options", "-c jit=off")
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "people.Person"
AUTHENTICATION_BACKENDS = [
    "gowngroup.people.backends.SignInCodeBackend",
    "gowngroup.people.backends.SignInLetterBackend",
]
AUTH_PASSWORD_VALIDATORS: list[dict[str, str]] = []
LOGIN_URL = "people:sign_in"
LOGIN_REDIRECT_URL = "home:home"
LOGOUT_REDIRECT_URL = "people:sign_in"
SESSION_COOKIE_AGE = 90 * 24 * 3600
SESSION_EXPIRE_AT_BROWSER_CLOSE = True

LANGUAGE_CODE = "en"
LANGUAGES = [("en", "English"), ("es", "Español")]  # as people.models.Language
LOCALE_PATHS = [BASE_DIR / "gowngroup" / "locale"]
USE_I18N = True
USE_TZ = True
TIME_ZONE = "UTC"

STATIC_URL = "/static/"
STATIC_ROOT = VAR_DIR / "staticfiles"
STATICFILES_DIRS = [
    BASE_DIR / "static",
    ("fonts/sans", Path(font_source_sans_pro.__file__).parent / "files"),
    ("fonts/serif", Path(font_source_serif_pro.__file__).parent / "files"),
    ("fonts/rubik", fontpkg_rubik.ROOT / "files"),
]
STATICFILES_FINDERS = [
    "django.contrib.staticfiles.finders.FileSystemFinder",
    "django.contrib.staticfiles.finders.AppDirectoriesFinder",
    "gowngroup.home.web_fonts.WebFontFinder",
]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": env.str(
            "STATIC_STORAGE", default="whitenoise.storage.CompressedManifestStaticFilesStorage"
        )
    },
}
# Fonts hardly shrink, and squeezing fifty of them takes a minute at every start.
WHITENOISE_SKIP_COMPRESS_EXTENSIONS = ("png", "jpg", "zip", "gz", "br", "woff", "woff2", "ttf", "otf")
WHITENOISE_ALLOW_ALL_ORIGINS = False
MEDIA_ROOT = VAR_DIR / "media"

CRISPY_ALLOWED_TEMPLATE_PACKS = ["gown"]
CRISPY_TEMPLATE_PACK = "gown"

EMAIL_BACKEND = env.str(
    "EMAIL_BACKEND",
    default="gowngroup.demo.post.Outbox" if IS_DEMO else "django.core.mail.backends.smtp.EmailBackend",
)
EMAIL_FILE_PATH = VAR_DIR / "outbox"
EMAIL_HOST = env.str("EMAIL_HOST", default="localhost")
EMAIL_PORT = env.int("EMAIL_PORT", default=25)
EMAIL_HOST_USER = env.str("EMAIL_HOST_USER", default="")
EMAIL_HOST_PASSWORD = env.str("EMAIL_HOST_PASSWORD", default="")
EMAIL_USE_TLS = env.bool("EMAIL_USE_TLS", default=False)
EMAIL_TIMEOUT = 10
DEFAULT_FROM_EMAIL = env.str("DEFAULT_FROM_EMAIL", default="gowns@example.org")

TASKS = {
    "default": {
        "BACKEND": env.str("TASKS_BACKEND", default="django_tasks_db.DatabaseBackend"),
        "QUEUES": ["default"],
    }
}

# How long the planner may look for a tighter lay of one lot on true outlines; 0 leaves that out.
NESTING_SECONDS = env.int("NESTING_SECONDS", default=10)

# Files locked while a PDF is made; every process of this machine must see the same folder.
PLACES_DIR = VAR_DIR / "places"

# The demo runs on plain http at this machine; everywhere else cookies and pages are for https alone.
HAS_TLS = not IS_DEMO
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = HAS_TLS
SESSION_COOKIE_NAME = "__Host-session" if HAS_TLS else "session"
CSRF_COOKIE_NAME = "__Host-csrf" if HAS_TLS else "csrf"
MESSAGES_COOKIE_NAME = "__Host-messages" if HAS_TLS else "messages"
MESSAGE_STORAGE = "gowngroup.records.messages.Messages"
LANGUAGE_COOKIE_NAME = "__Host-language" if HAS_TLS else "language"
LANGUAGE_COOKIE_AGE = 365 * 24 * 3600
LANGUAGE_COOKIE_SECURE, LANGUAGE_COOKIE_HTTPONLY, LANGUAGE_COOKIE_SAMESITE = HAS_TLS, True, "Lax"
SESSION_COOKIE_HTTPONLY = CSRF_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
SECURE_SSL_REDIRECT = env.bool("SECURE_SSL_REDIRECT", default=HAS_TLS)
SECURE_REDIRECT_EXEMPT = [r"^healthz$"]  # asked from the machine itself
SECURE_HSTS_SECONDS = 365 * 24 * 3600 if HAS_TLS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = HAS_TLS
SECURE_PROXY_SSL_HEADER = (
    ("HTTP_X_FORWARDED_PROTO", "https") if env.bool("BEHIND_PROXY", default=False) else None
)
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin" if HAS_TLS else None
X_FRAME_OPTIONS = "DENY"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF],
        "font-src": [SELF],
        "connect-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
        "manifest-src": [SELF],
    }
}
DATA_UPLOAD_MAX_NUMBER_FIELDS = 5000

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "filters": {"secrets": {"()": "gowngroup.records.logs.HideSecrets"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "filters": ["secrets"]}},
    "root": {"handlers": ["console"], "level": "WARNING"},
}
