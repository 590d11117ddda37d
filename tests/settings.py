"""The shop's settings, with what only tests need changed."""

import os
import tempfile
from pathlib import Path

os.environ.setdefault("DATA_DIR", str(Path(tempfile.gettempdir()) / f"gusset-tests-{os.getpid()}"))

from buildlog.config.settings import *  # noqa: E402, F403
from buildlog.config.settings import DATA_DIR, DATABASES

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]  # quick; the real ones are slow on purpose
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
MEDIA_ROOT = DATA_DIR / "media"
# A file, not memory: threads and the browser's server then share it, and the pragmas are the real ones.
DATABASES["default"]["TEST"] = {"NAME": DATA_DIR / "test.sqlite3"}
STATIC_ROOT = DATA_DIR / "static"
STATIC_ROOT.mkdir(parents=True, exist_ok=True)
