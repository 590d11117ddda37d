"""What the shop knows that is not for the public: addresses, numbers, amounts, names."""

import re
from decimal import Decimal

from buildlog.builds.models import Build
from buildlog.decisions.models import Option
from buildlog.worklog.models import Entry
from inventory.donors.models import Cost, Donor
from inventory.parts.models import Move
from inventory.people.models import Person
from inventory.places.calc.address import address_key
from inventory.places.models import FormerAddress, Kind, Location

from .calc.held import Known

SHORTEST_PRIVATE = 6  # letters of a private line that are looked for in others
SHORTEST_NUMBER = 4  # characters of an identification number that are looked for
LABELS = {
    "private": ("line or photo kept out of public", "lines and photos kept out of public"),
    "number": ("identification number", "identification numbers"),
    "address": ("address of a place", "addresses of places"),
    "price": ("price", "prices"),
    "person": ("name of a person", "names of people"),
}


def known(build: Build) -> Known:
    """In a fixed number of statements, however large the shop is."""
    builds = set(Build.objects.values_list("vehicle", flat=True))
    places = Location.objects.exclude(pk__in=builds).values_list("kind", "away", "name", "address_key")
    addresses, names = set(), set()
    for kind, away, name, key in places:
        addresses.add(address_key(key))
        if name and (away or kind == Kind.SITE):
            names.add(name)
    addresses |= {address_key(key) for key in FormerAddress.objects.values_list("address_key", flat=True)}
    people = [way for name in Person.objects.values_list("name", flat=True) for way in _ways_to_call(name)]
    sellers = Donor.objects.exclude(seller="").values_list("seller", flat=True)
    people += [name for seller in sellers for name in (seller, *seller.split(","))]
    private = Entry.objects.filter(session__build=build, private=True).values_list("text", "says")
    return Known(
        addresses=frozenset(addresses - {""}),
        place_names=tuple(names),
        numbers=tuple(number for number in _numbers() if len(number) >= SHORTEST_NUMBER),
        amounts=tuple(_amounts()),
        people=tuple(people),
        private=tuple(text for pair in private for text in pair if len(text) >= SHORTEST_PRIVATE),
    )


def _numbers() -> list[str]:
    return [number for model in (Build, Donor) for number in model.objects.values_list("number", flat=True)]


def _amounts() -> set[str]:
    """Amounts that were paid, as they may be written. Small round ones would be found in every measure."""
    written = set()
    for model, field in ((Donor, "price"), (Cost, "amount"), (Move, "cost"), (Option, "cost")):
        for amount in model.objects.exclude(**{field: None}).values_list(field, flat=True).distinct():
            amount = Decimal(amount)
            whole = amount == amount.to_integral()
            if amount < (100 if whole else 1):
                continue
            plain = f"{amount:.0f}" if whole else f"{amount:.2f}"
            grouped = f"{amount:,.0f}" if whole else f"{amount:,.2f}"
            written |= {plain, plain.replace(".", ","), grouped, grouped.replace(",", " ")}
            if whole:
                written |= {f"{plain}.00", f"{plain},00", f"{grouped}.00"}
    return written


def _ways_to_call(name: str) -> list[str]:
    """'Ana Berg' is also Ana, and Berg."""
    return [name, *(word for word in re.split(r"[\s,]+", name) if len(word) >= 3)]


def said(kind: str, count: int) -> str:
    """'2 identification numbers'."""
    return f"{count} {LABELS[kind][count != 1]}"
