"""How is Quiltbook set up? Django's settings; what may differ between machines is read through quiltbook.env.

Everything it writes (database, photos, collected static files, the generated secret) lies in one data folder.
"""

from pathlib import Path

from django.utils.csp import CSP

from quiltbook import env

BASE_DIR = Path(__file__).resolve().parent.parent
DATA_DIR = env.folder("QUILTBOOK_DATA", BASE_DIR / ".data")

DEBUG = env.flag("QUILTBOOK_DEBUG", False)
SIGN_UP_OPEN = env.flag("QUILTBOOK_SIGN_UP", True)
SECRET_KEY = env.kept_secret(DATA_DIR / "secret")
ALLOWED_HOSTS = env.names("QUILTBOOK_HOSTS", ("localhost", "127.0.0.1", "[::1]"))

INSTALLED_APPS = [
    "quiltbook.web",
    "quiltbook.people",
    "stash",
    "plans",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django.forms",
    "django_htmx",
    "django_tasks_db",
]

# Every page needs a sign-in unless its view says login_not_required: forgetting to say so shuts a page
# rather than opening it.
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "django.middleware.csp.ContentSecurityPolicyMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "quiltbook.web.words.WordsMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
]

ROOT_URLCONF = "quiltbook.urls"
WSGI_APPLICATION = "quiltbook.wsgi.application"
ASGI_APPLICATION = "quiltbook.asgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "OPTIONS": {
            "loaders": [
                (
                    "django.template.loaders.cached.Loader",
                    ["quiltbook.web.loader.Loader", "django.template.loaders.app_directories.Loader"],
                )
            ],
            "builtins": ["quiltbook.web.templatetags.words"],
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "quiltbook.web.context.measuring",
            ],
        },
    },
]
# Widgets look in templates/ too, so that the look of a field can be changed in one place.
FORM_RENDERER = "django.forms.renderers.TemplatesSetting"

# Deferred transactions that read and then write fail with "database is locked" when two of them meet;
# immediate ones wait their turn. The write-ahead log lets readers go on meanwhile.
DATABASES = {
    "default": {
        "ENGINE": "django.db.backends.sqlite3",
        "NAME": DATA_DIR / "quiltbook.sqlite3",
        "OPTIONS": {
            "transaction_mode": "IMMEDIATE",
            "timeout": 5,
            "init_command": (
                "PRAGMA journal_mode=WAL; PRAGMA synchronous=NORMAL; "
                "PRAGMA mmap_size=134217728; PRAGMA cache_size=-16000;"
            ),
        },
    },
}

# Long work is left to a worker that `start` runs too; it takes its tasks from the database.
TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}

AUTH_USER_MODEL = "people.Person"
LOGIN_URL = "people:sign_in"
LOGIN_REDIRECT_URL = "plans:on_the_go"
LOGOUT_REDIRECT_URL = "people:sign_in"
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator"},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
]

LANGUAGE_CODE = "en-gb"
USE_I18N = False
USE_TZ = True
TIME_ZONE = "UTC"

STATIC_URL = "static/"
STATIC_ROOT = DATA_DIR / "static"
STATICFILES_DIRS = [BASE_DIR / "static"]
MEDIA_URL = "media/"
MEDIA_ROOT = DATA_DIR / "media"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "quiltbook.web.staticfiles.HashedStaticFiles"},
}
if DEBUG:
    STORAGES["staticfiles"]["BACKEND"] = "django.contrib.staticfiles.storage.StaticFilesStorage"

# Of a form, all but its files is kept in memory, up to so many bytes.
DATA_UPLOAD_MAX_MEMORY_SIZE = 2 * 1024 * 1024
FILE_UPLOAD_PERMISSIONS = 0o600
FILE_UPLOAD_DIRECTORY_PERMISSIONS = 0o700

SECURE_CSP = {
    "default-src": [CSP.SELF],
    "script-src": [CSP.SELF],
    "style-src": [CSP.SELF],
    "img-src": [CSP.SELF, "data:"],
    "object-src": [CSP.NONE],
    "base-uri": [CSP.NONE],
    "frame-ancestors": [CSP.NONE],
    "form-action": [CSP.SELF],
}
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
SESSION_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_HTTPONLY = True
if env.flag("QUILTBOOK_HTTPS", False):
    SESSION_COOKIE_SECURE = True
    CSRF_COOKIE_SECURE = True
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")

# Faults go to standard error with their traceback, whether or not DEBUG is on; a page not found is no fault.
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
    "loggers": {
        "django": {"handlers": ["console"], "level": "WARNING", "propagate": False},
        "django.request": {"level": "ERROR"},
    },
}
