"""Scripts as they travel: without comments and indents, which are for who reads the source: a tenth of the bytes."""

from django.core.files.base import ContentFile
from whitenoise.storage import CompressedManifestStaticFilesStorage


def lean(script: str) -> str:
    """A script without its // comments and the space before its lines. No text of it may go over the end of a line."""
    return "".join(f"{line}\n" for line in map(_lean, script.splitlines()) if line)


def _lean(line: str) -> str:
    line = line.strip()
    before, mark, _ = line.partition(" // ")
    if mark and not any(before.count(quote) % 2 for quote in "'\"`"):  # not within a text
        line = before
    return "" if line.startswith("//") else line


class LeanStorage(CompressedManifestStaticFilesStorage):
    """Static files as they are collected; a vendored file stays byte for byte what its licence came with."""

    def _save(self, name, content):
        if name.endswith(".js") and not name.startswith("vendor/"):
            whole = b"".join(content.chunks())  # from its beginning, wherever it was read to
            content = ContentFile(lean(whole.decode()).encode(), name)
        return super()._save(name, content)
