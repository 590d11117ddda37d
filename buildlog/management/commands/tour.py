from django.core.management.base import BaseCommand


class Command(BaseCommand):
    help = "Make the pictures of the README's tour anew, from the demo shop in real Chromium."
    requires_system_checks = []

    def handle(self, *args, **options):
        from tests import tour  # needs what only the tests need

        return f"{tour.make(self.stdout.write)} pictures are in {tour.TARGET}."
