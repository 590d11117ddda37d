"""The backup file: one tar with the database, the photos, and last a manifest with the sum of each."""

import hashlib
import io
import json
import os
import re
import tarfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

FORMAT = 1
MANIFEST = "manifest.json"
DATABASE = "shop.sqlite3"
ALLOWED = re.compile(r"shop\.sqlite3|manifest\.json|(media|secrets)(/[\w.-]+)+")
PIECE = 1024 * 1024

Tell = Callable[[int, int], None]  # bytes done, bytes in all


class BadBackup(Exception):
    """The file is no backup, or a damaged one; the text says what is wrong."""


@dataclass
class Manifest:
    version: str
    made_at: str
    migrations: dict[str, str]
    counts: dict[str, int]
    secrets: bool
    files: dict[str, list] = field(default_factory=dict)  # name -> [bytes, sha256]
    format: int = FORMAT

    @classmethod
    def from_json(cls, text: str) -> "Manifest":
        try:
            data = json.loads(text)
            if data["format"] > FORMAT:
                raise BadBackup("This backup was made by a newer version of the program. Update the program first.")
            return cls(**data)
        except (ValueError, KeyError, TypeError) as error:
            raise BadBackup("The manifest of this backup can’t be read.") from error


class _Summing(io.RawIOBase):
    """Passes a file on and adds up its sum on the way, so that each is read once."""

    def __init__(self, file, tell: Callable[[int], None]):
        self.file, self.tell, self.sum = file, tell, hashlib.sha256()

    def read(self, size=-1):
        piece = self.file.read(size)
        self.sum.update(piece)
        self.tell(len(piece))
        return piece


def write(target: Path, manifest: Manifest, files: list[tuple[str, Path]], tell: Tell) -> None:
    """Write the archive aside, flush it, then give it its name: one broken off leaves nothing that looks whole."""
    total = sum(path.stat().st_size for _, path in files if path.exists())
    done = 0

    def more(count: int) -> None:
        nonlocal done
        done += count
        tell(done, total)

    aside = target.with_suffix(".part")
    descriptor = os.open(aside, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    try:
        with os.fdopen(descriptor, "wb") as out, tarfile.open(fileobj=out, mode="w", bufsize=PIECE) as tar:
            for name, path in files:
                with path.open("rb") as file:
                    info = tarfile.TarInfo(name)
                    info.size = os.fstat(file.fileno()).st_size
                    info.mode = 0o600
                    summing = _Summing(file, more)
                    tar.addfile(info, summing)
                    manifest.files[name] = [info.size, summing.sum.hexdigest()]
            text = json.dumps(manifest.__dict__, indent=1).encode()
            info = tarfile.TarInfo(MANIFEST)
            info.size = len(text)
            info.mode = 0o600
            tar.addfile(info, io.BytesIO(text))
            tar.close()
            out.flush()
            os.fsync(out.fileno())
        aside.replace(target)
    except BaseException:
        aside.unlink(missing_ok=True)
        raise


def manifest_of(archive: Path) -> Manifest:
    """What a backup says of itself, unproven. Raises BadBackup."""
    try:
        with tarfile.open(archive, "r:") as tar:
            stream = tar.extractfile(MANIFEST)
            return Manifest.from_json(stream.read().decode())
    except (tarfile.TarError, KeyError, EOFError, OSError, UnicodeDecodeError) as error:
        raise BadBackup("The file is no backup of a shop, or is cut short.") from error


def unpack(archive: Path, into: Path, tell: Tell = lambda done, total: None) -> Manifest:
    """Unpack into an empty folder and check every name, size and sum. Raises BadBackup before anything is believed."""
    if not archive.is_file():
        raise BadBackup("There is no such file.")
    total, done = archive.stat().st_size, 0
    found: dict[str, list] = {}
    manifest = None
    try:
        with tarfile.open(archive, "r:") as tar:
            for info, stream in _members(tar):
                if info.name == MANIFEST:
                    manifest = Manifest.from_json(stream.read().decode())
                    continue
                target = into / info.name
                target.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
                digest = hashlib.sha256()
                with target.open("wb") as out:
                    while piece := stream.read(PIECE):
                        digest.update(piece)
                        out.write(piece)
                        done += len(piece)
                        tell(done, total)
                found[info.name] = [info.size, digest.hexdigest()]
    except (tarfile.TarError, EOFError, UnicodeDecodeError) as error:
        raise BadBackup("The file is no backup of a shop, or is cut short.") from error
    if manifest is None:
        raise BadBackup("The backup has no manifest: it is cut short, or no backup of a shop.")
    for name in sorted(manifest.files.keys() | found.keys()):
        if manifest.files.get(name) != found.get(name):
            raise BadBackup(f"{name} in the backup is damaged or missing.")
    if DATABASE not in found:
        raise BadBackup("The backup holds no database.")
    return manifest


def _members(tar: tarfile.TarFile) -> Iterator[tuple[tarfile.TarInfo, io.BufferedReader]]:
    for info in tar:
        if not info.isreg() or not ALLOWED.fullmatch(info.name) or ".." in info.name.split("/"):
            raise BadBackup(f"The backup holds something that does not belong in one: {info.name[:80]}")
        yield info, tar.extractfile(info)
