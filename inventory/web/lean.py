"""Scripts as they travel: without the lines of comment, which are for who reads the source: a twelfth of the bytes."""

import re

from django.core.files.base import ContentFile
from whitenoise.storage import CompressedManifestStaticFilesStorage

COMMENT = re.compile(r"^[ \t]*//.*\n", re.MULTILINE)


def lean(script: str) -> str:
    """A script without its lines that are comments from end to end."""
    return COMMENT.sub("", script)


class LeanStorage(CompressedManifestStaticFilesStorage):
    """Static files as they are collected; a vendored file stays byte for byte what its licence came with."""

    def _save(self, name, content):
        if name.endswith(".js") and not name.startswith("vendor/"):
            whole = b"".join(content.chunks())  # from its beginning, wherever it was read to
            content = ContentFile(lean(whole.decode()).encode(), name)
        return super()._save(name, content)
