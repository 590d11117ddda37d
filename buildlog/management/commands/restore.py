from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from buildlog.keeping import actions
from buildlog.keeping.archive import BadBackup
from buildlog.keeping.terminal import Bar


class Command(BaseCommand):
    help = "Bring a backup back. Stop the shop first. What was there before is kept aside."
    requires_system_checks = []

    def add_arguments(self, parser):
        parser.add_argument("file", type=Path)
        parser.add_argument("--replace", action="store_true", help="although there is a shop with people in it")

    def handle(self, *args, file: Path, replace: bool, **options):
        try:
            manifest = actions.restore(file, replace=replace, tell=Bar("Restoring"), say=self.stdout.write)
        except actions.ShopIsThere as error:
            raise CommandError(
                "There is a shop here already. With --replace it is put aside and the backup takes its place."
            ) from error
        except actions.ShopIsUp as error:
            raise CommandError("The shop is running. Stop it first (Ctrl-C where it was started).") from error
        except (BadBackup, OSError) as error:
            raise CommandError(f"Nothing was changed. {file}: {error}") from error
        rows = sum(manifest.counts.values())
        return f"The shop of {manifest.made_at} is back: {rows} rows, {len(manifest.files) - 1} other files."
