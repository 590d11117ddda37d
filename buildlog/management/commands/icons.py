from django.core.management.base import BaseCommand

from buildlog.offline import icons


class Command(BaseCommand):
    help = "Make the home screen's icons anew from static/icons/gusset.svg."
    requires_system_checks = []

    def handle(self, *args, **options):
        return "\n".join(str(path) for path in icons.make())
