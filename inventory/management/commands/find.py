from django.core.management.base import BaseCommand, CommandError

from inventory.finding.index import check, rebuild, refresh


class Command(BaseCommand):
    help = "Bring what is searched up to date; --check says what is wrong with it, --rebuild writes it all anew."

    def add_arguments(self, parser):
        which = parser.add_mutually_exclusive_group()
        which.add_argument("--check", action="store_true", help="list what is wrong, and exit 1 when something is")
        which.add_argument("--rebuild", action="store_true", help="write every document and the index anew")

    def handle(self, *args, **options):
        if options["check"]:
            faults = check()
            for fault in faults[:50]:
                self.stdout.write(fault)
            if faults:
                raise CommandError(f"{len(faults)} faults. python3 manage.py find --rebuild puts them right.")
            self.stdout.write("What is searched is right.")
        elif options["rebuild"]:
            self.stdout.write(f"Wrote {rebuild()} documents anew.")
        else:
            self.stdout.write(f"Brought {refresh()} documents up to date.")
