"""How do the tests differ from the real thing? A data folder of their own, quick passwords, plain static files."""

import atexit
import os
import shutil
import tempfile

_data = tempfile.mkdtemp(prefix="quiltbook-tests-")
atexit.register(shutil.rmtree, _data, ignore_errors=True)
os.environ["QUILTBOOK_DATA"] = _data
for _name in ("QUILTBOOK_DEBUG", "QUILTBOOK_SIGN_UP", "QUILTBOOK_HOSTS", "QUILTBOOK_HTTPS"):
    os.environ.pop(_name, None)

from quiltbook.settings import *  # noqa: E402, F403
from quiltbook.settings import DATA_DIR, DATABASES, STATIC_ROOT, STORAGES  # noqa: E402

# A file rather than memory: threads then meet each other's locks as they do in earnest.
DATABASES["default"]["TEST"] = {"NAME": DATA_DIR / "test.sqlite3"}
STORAGES["staticfiles"] = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
STATIC_ROOT.mkdir()  # where it is missing, every request warns
TASKS = {"default": {"BACKEND": "django.tasks.backends.immediate.ImmediateBackend"}}
