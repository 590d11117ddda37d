from django.core.management.base import BaseCommand, CommandError

from inventory.parts import audit
from inventory.parts.models import Holding, Move


class Command(BaseCommand):
    help = "Prove that the moves add up to what is held. Exit 1 and a list where they don't; --rebuild puts it right."

    def add_arguments(self, parser):
        parser.add_argument("--rebuild", action="store_true", help="write all holdings anew from the moves")

    def handle(self, *args, rebuild: bool, **options):
        if rebuild:
            return f"Rebuilt {audit.rebuild()} holdings from {Move.objects.count()} moves."
        found = audit.differences()
        for row in found:
            says = f"moves say {row.moves_say}, holding says {row.holding_says}"
            self.stdout.write(f"part {row.part_id} at place {row.location_id}: {says}")
        if found:
            raise CommandError(f"{len(found)} holdings differ from the moves. --rebuild puts them right.", returncode=1)
        return f"The ledger balances: {Holding.objects.count()} holdings from {Move.objects.count()} moves."
