from django.core.management.base import BaseCommand, CommandError

from buildlog.keeping import doctor

MARKS = {doctor.GOOD: "✓", doctor.LOOK: "▲", doctor.BAD: "✕"}


class Command(BaseCommand):
    help = "Examine the shop and say what mends what is wrong. Exit 1 when something is bad."

    def add_arguments(self, parser):
        parser.add_argument(
            "--sweep", action="store_true", help="remove files of nothing, and photos and papers deleted a month ago"
        )

    def handle(self, *args, **options):
        if options["sweep"]:
            self.stdout.write(f"Swept {doctor.sweep_files()} files.")
        found = doctor.examine()
        for finding in found:
            self.stdout.write(f"{MARKS[finding.level]} {finding.text}")
            if finding.mend:
                self.stdout.write(f"    → {finding.mend}")
        bad = sum(finding.level == doctor.BAD for finding in found)
        if bad:
            raise CommandError(f"{bad} of {len(found)} checks found something bad.", returncode=1)
        return f"The shop is well: {len(found)} checks."
