from django.core.management.base import BaseCommand, CommandError

from inventory.demo import actions
from inventory.people.models import Person


class Command(BaseCommand):
    help = "Fill an empty shop with the demo shop, or take the demo away again. What the shop added itself stays."

    def add_arguments(self, parser):
        parser.add_argument("what", choices=["load", "remove"])

    def handle(self, *args, what: str, **options):
        if what == "remove":
            if not actions.is_loaded():
                raise CommandError("There is no demo in this shop.")
            actions.remove()
            return "The demo is gone. What you added yourself is still there."
        try:
            count = actions.load(owner=Person.objects.filter(role="owner").first())
        except actions.NotEmpty as error:
            raise CommandError("The shop is not empty; the demo is only for an empty one.") from error
        return f"The demo shop is there: {count} parts."
