from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from buildlog.keeping import actions
from buildlog.keeping.terminal import Bar


class Command(BaseCommand):
    help = "Write the whole shop into one file: the database at one instant, the photos, and the sum of each."

    def add_arguments(self, parser):
        parser.add_argument(
            "target", nargs="?", type=Path, help="a file (.tar) or a folder; default: the shop's own backups"
        )
        parser.add_argument(
            "--with-secrets",
            action="store_true",
            help="also the secret key, the certificates and who is signed in: whoever has the file can be the shop",
        )

    def handle(self, *args, target: Path | None, with_secrets: bool, **options):
        try:
            path = actions.make(target=target, with_secrets=with_secrets, tell=Bar("Backing up"))
        except OSError as error:
            raise CommandError(f"The backup can't be written: {error}.") from error
        size = path.stat().st_size / 1024**2
        return f"Backed up to {path} ({size:.1f} MB). It holds password hashes: keep it as you keep your keys."
