from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from buildlog.keeping import actions
from buildlog.keeping.archive import BadBackup
from buildlog.keeping.terminal import Bar


class Command(BaseCommand):
    help = "Prove a backup: unpack it aside, check every sum and the database itself."

    def add_arguments(self, parser):
        parser.add_argument("file", nargs="?", type=Path, help="default: the newest of the shop's own backups")

    def handle(self, *args, file: Path | None, **options):
        if file is None:
            found = actions.backups()
            if not found:
                raise CommandError("There is no backup yet. Make one: manage.py backup")
            file = found[0][1]
        try:
            manifest = actions.verify(file, tell=Bar("Checking"))
        except (BadBackup, OSError) as error:
            raise CommandError(f"{file}: {error}") from error
        rows = sum(manifest.counts.values())
        return f"{file} is good: {rows} rows and {len(manifest.files) - 1} other files, made {manifest.made_at}."
