"""The one settings file. Everything that may differ between shops comes from the environment (see env.py)."""

import os
import secrets
import sys
from pathlib import Path

from buildlog.config import env, hosts

BASE_DIR = Path(__file__).resolve().parents[2]
DATA_DIR = env.read("DATA_DIR")

DEBUG = env.read("DEBUG")
HOST, PORT = env.read("HOST"), env.read("PORT")
LAN, HTTPS_PORT, TRUST_PORT = env.read("LAN"), env.read("HTTPS_PORT"), env.read("TRUST_PORT")
SITE_URL = env.read("SITE_URL")
TRUSTED_PROXY = env.read("TRUSTED_PROXY")
TLS_CERT, TLS_KEY = env.read("TLS_CERT"), env.read("TLS_KEY")


def _secret_key() -> str:
    """Made once and kept in the data folder, so that logins survive a restart."""
    if given := env.read("SECRET_KEY"):
        return given
    path = DATA_DIR / "secret_key"
    try:
        if not path.exists():
            DATA_DIR.mkdir(mode=0o700, parents=True, exist_ok=True)
            part = path.with_name(f"secret_key.{os.getpid()}")
            with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w") as out:
                out.write(secrets.token_urlsafe(48))
            part.replace(path)  # whole or not at all
        return path.read_text().strip()
    except OSError:
        return secrets.token_urlsafe(48)  # the start-up check names the folder that can't be written to


SECRET_KEY = _secret_key()

ALLOWED_HOSTS = hosts.allowed_hosts(SITE_URL)
PHONE_URL = hosts.phone_url  # called when a code for a phone is shown
CSRF_TRUSTED_ORIGINS = hosts.trusted_origins(SITE_URL)
CSRF_FAILURE_VIEW = "buildlog.config.errors.csrf_failure"

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django.forms",  # so that our field template and Django's widget templates are found together
    "django_htmx",
    "template_partials",
    "inventory",
    "buildlog",
]

MIDDLEWARE = [
    "buildlog.config.proxy.TrustedProxyMiddleware",  # first: who asks, and over what, is settled here
    "django.middleware.security.SecurityMiddleware",  # headers on every answer
    "inventory.web.csp.ContentSecurityPolicyMiddleware",  # before anything that may answer early
    "inventory.web.packing.PackPagesMiddleware",  # after all that writes into a page
    "buildlog.config.health.HealthMiddleware",  # before whatever looks at the Host or asks for a login
    "inventory.web.limits.BodyLimitMiddleware",  # before anything that reads the body
    "whitenoise.middleware.WhiteNoiseMiddleware",  # static files need no session
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "inventory.people.middleware.DeviceMiddleware",  # after auth: a device signed out elsewhere is logged out here
    "inventory.people.middleware.SetUpFirstMiddleware",  # a shop without an owner is set up before anything
    "inventory.people.middleware.KeepPlaceLoginMiddleware",  # default deny
    "inventory.people.middleware.RoleMiddleware",  # guests look, they change nothing
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "buildlog.offline.middleware.OutboxMiddleware",  # last: gives what a phone had kept to the view it is for
]

ROOT_URLCONF = "buildlog.config.urls"
WSGI_APPLICATION = "buildlog.config.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "inventory.web.context.shop",
            ],
            # As in the next LTS, where partials are part of the language and need no load line.
            "builtins": ["template_partials.templatetags.partials", "inventory.templatetags.gusset"],
        },
    }
]
FORM_RENDERER = "inventory.web.forms.ShopRenderer"

DATABASES = {
    "default": {
        "ENGINE": "django.db.backends.sqlite3",
        "NAME": DATA_DIR / "shop.sqlite3",
        "CONN_MAX_AGE": 600,
        "OPTIONS": {
            # IMMEDIATE: a read-then-write transaction can't be overtaken ("database is locked").
            # FULL: what was acknowledged survives a power cut; the phone deletes its copy after a 2xx.
            "timeout": 5,
            "transaction_mode": "IMMEDIATE",
            "init_command": (
                "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA cache_size=-8000; "
                "PRAGMA journal_size_limit=27103364; PRAGMA temp_store=MEMORY;"
            ),
        },
    }
}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "inventory.Person"
AUTHENTICATION_BACKENDS = ["django.contrib.auth.backends.ModelBackend"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 12}},
    {"NAME": "inventory.people.passwords.StretchedPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
]
LOGIN_URL = "inventory:people_login"
LOGIN_REDIRECT_URL = "/"
LOGOUT_REDIRECT_URL = "inventory:people_login"

# A phone in the shop stays signed in for half a year; each device is listed and can be signed out.
SESSION_COOKIE_AGE = 180 * 24 * 3600
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_HTTPONLY = True
CSRF_COOKIE_SAMESITE = "Lax"
# `manage.py up` says which of its servers this is. Over https the cookies are bound to it and to this one host;
# over plain http on localhost not every browser would take a Secure cookie.
if os.environ.get("GUSSET_LISTENER") == "https" or (TRUSTED_PROXY and SITE_URL.startswith("https:")):
    SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = True
    SESSION_COOKIE_NAME, CSRF_COOKIE_NAME = "__Host-sessionid", "__Host-csrftoken"
# What was done is said by a signed cookie: in the session it would cost a durable commit to write and one to read.
MESSAGE_STORAGE = "inventory.web.said.SaidOnAPage"

SILENCED_SYSTEM_CHECKS = [
    "security.W004",  # no HSTS: one bad certificate on a private network would lock its owner out
    "security.W008",  # no redirect to https: the desk's plain address never leaves this computer
]
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
# The name Django 6 uses; the middleware that reads it is deleted at the next LTS.
SECURE_CSP = {
    "default-src": ["'none'"],
    "script-src": ["'self'"],
    "style-src": ["'self'"],
    "img-src": ["'self'", "blob:", "data:"],
    "font-src": ["'self'"],
    "connect-src": ["'self'"],
    "form-action": ["'self'"],
    "manifest-src": ["'self'"],
    "worker-src": ["'self'"],
    "media-src": ["'self'"],
    "frame-ancestors": ["'none'"],
    "base-uri": ["'none'"],
}

STATIC_URL = "static/"
STATIC_ROOT = DATA_DIR / "static"
STATICFILES_DIRS = [BASE_DIR / "static"]
MEDIA_ROOT = DATA_DIR / "media"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "inventory.web.lean.LeanStorage"},
}
if DEBUG or "runserver" in sys.argv:
    STORAGES["staticfiles"] = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
WHITENOISE_MAX_AGE = 60

LANGUAGE_CODE = "en-gb"
TIME_ZONE = env.read("TIME_ZONE")
USE_I18N = True
USE_TZ = True
DATE_FORMAT = "j M Y"

DATA_UPLOAD_MAX_NUMBER_FIELDS = 4000
FILE_UPLOAD_HANDLERS = [
    "inventory.web.limits.BodyLimit",
    "django.core.files.uploadhandler.MemoryFileUploadHandler",
    "django.core.files.uploadhandler.TemporaryFileUploadHandler",
]

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"console": {"class": "logging.StreamHandler"}, "nowhere": {"class": "logging.NullHandler"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
    # The page it leads to says what to set; scanners on the network would fill the terminal with it.
    "loggers": {"django.security.DisallowedHost": {"handlers": ["nowhere"], "propagate": False}},
}
