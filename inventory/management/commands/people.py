"""The way in from the console, for when no other is left."""

import sys
from getpass import getpass

from django.contrib.auth.password_validation import password_validators_help_texts, validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError

from inventory.people import actions, setup_code, throttle
from inventory.people.models import Person, Role


class Command(BaseCommand):
    help = "Lists who may come in; sets a new password for one of them; prints a new code for an empty shop."

    def add_arguments(self, parser):
        what = parser.add_mutually_exclusive_group()
        what.add_argument("--reset", metavar="NAME", help="set a new password, asked for here or read from a pipe")
        what.add_argument("--setup-code", action="store_true", help="print a new one-time code for the set-up page")

    def handle(self, *args, **options):
        if options["reset"] is not None:
            self._reset(options["reset"])
        elif options["setup_code"]:
            self._setup_code()
        else:
            self._list()

    def _list(self):
        people = list(Person.objects.all())
        for person in people:
            off = "" if person.is_active else ", switched off"
            self.stdout.write(f"{person.name:<24} {person.role}{off}")
        self.stdout.write(f"{len(people)} on the list." if people else "Nobody yet. Open the shop's page to set it up.")

    def _reset(self, name: str):
        try:
            person = Person.objects.get_by_natural_key(name)
        except Person.DoesNotExist:
            raise CommandError(f"Nobody is called {name}. `manage.py people` lists who there is.") from None
        password = self._ask(person)
        try:
            validate_password(password, person)
        except ValidationError as error:
            raise CommandError(" ".join(error.messages)) from None
        actions.set_password(person=person, password=password)
        throttle.forgive_all()
        self.stdout.write(f"{person} has a new password, is signed out everywhere and need not wait.")

    def _ask(self, person: Person) -> str:
        if not sys.stdin.isatty():
            return sys.stdin.readline().rstrip("\r\n")
        for text in password_validators_help_texts():
            self.stdout.write(text)
        password = getpass(f"New password for {person}: ")
        if getpass("Once more: ") != password:
            raise CommandError("Those two are not the same. Nothing is changed.")
        return password

    def _setup_code(self):
        if Person.objects.filter(role=Role.OWNER).exists():
            raise CommandError("The shop has an owner; set-up is closed. For a lost password: people --reset NAME")
        self.stdout.write(f"One-time code for the set-up page: {setup_code.issue()}")
