"""The demo shop's two donors: a 1966 Halvard 20 pickup (D1) and a Corvane estate (D2). All makes are invented."""

import uuid
from datetime import timedelta
from decimal import Decimal

from django.db.models import ProtectedError
from django.utils import timezone

from inventory.demo.models import DemoThing
from inventory.parts.actions import leave_shop
from inventory.parts.models import Condition, Origin, Part, Reason
from inventory.people.models import Person
from inventory.places.models import Kind, Location

from . import actions, pulling
from .calc.bagged import read_bag
from .calc.zones import zone_of
from .models import Cost, Donor, Pull, Want

DONORS = {
    "D1": {
        "shape": "pickup", "number": "20-P-11873", "price": Decimal(650), "seller": "A farm sale",
        "paperwork": "Bill of sale. No registration.", "weight": Decimal(540), "scrap_rate": Decimal(180), "days": 610,
    },
    "D2": {
        "shape": "estate", "number": "C7-44012", "price": Decimal(300), "seller": "Behind the brickworks",
        "paperwork": "Bill of sale and the old logbook.",
        "weight": Decimal(700), "scrap_rate": Decimal(180), "days": 240,
    },
}  # fmt: skip
COSTS = [("D1", "Trailer hire, one day", 55), ("D1", "Yard rent, winter", 40), ("D2", "Trailer hire, one day", 55)]
WANTS = {
    "D1": "Door check strap, left|Hang the cab doors\nBrake pedal box|Brake lines, front\n2 Seat base|",
    "D2": "Heater control panel|Heater and demister\nRear door lock|\n2 Courtesy lamp|Light over the counter",
}
MISSING = {"D1": "Headlamp rim"}
# donor, name, side, quantity, condition, days ago, fasteners, notes for putting back
PULLS = [
    ("D1", "Tailgate chain", "", 2, Condition.GOOD, 40, "4 M8×25 hex\n4 M8 washer", "Long link to the body side."),
    ("D1", "Hatch hinge", "right", 1, Condition.PATTERN, 34, "6 1/4-28 UNF × 3/4 hex", "Pin worn oval. Knuckle up."),
    ("D1", "Cab rear window rubber", "", 1, Condition.GOOD, 30, "", "Join at the bottom, in the middle."),
    ("D1", "Spare wheel carrier", "", 1, Condition.GOOD, 25, "", ""),
    ("D2", "Dash lamp holder", "", 4, Condition.GOOD, 20, "", "Brown wire to the side tag."),
    ("D2", "Wiper linkage", "", 1, Condition.REPAIRABLE, 12, "3 M6×16 hex", "Two thin shims under the left spindle."),
]
SOLD = ("Spare wheel carrier", 60, "To the club, for an 18")


def load(owner: Person | None) -> None:
    """Fill in the donors that the demo shop has, where it has them."""
    places = {place.short: place for place in Location.objects.filter(short__in=DONORS, kind=Kind.VEHICLE)}
    bench = Location.objects.current().filter(kind=Kind.BENCH).in_order().first()
    now = timezone.now()
    donors = {}
    for short, place in places.items():
        facts = dict(DONORS[short])
        bought = timezone.localdate() - timedelta(days=facts.pop("days"))
        donors[short] = donor = actions.add_donor(by=owner, location=place, bought_on=bought, **facts)
        if owner:
            actions.acknowledge(donor=donor, by=owner)
        things = [line.partition("|") for line in WANTS[short].splitlines()]
        for line, _, why in things:
            (one,) = read_bag(line)
            actions.want(donor=donor, by=owner, things=[{"what": one.what, "quantity": one.quantity, "why": why}])
        if missing := MISSING.get(short):
            (lost,) = actions.want(donor=donor, by=owner, things=[{"what": missing}])
            actions.say_of_want(want=lost, missing=True)
    for short, what, amount in COSTS:
        if short in donors:
            donor = donors[short]
            Cost.objects.create(donor=donor, what=what, amount=amount, on=donor.bought_on, by=owner)
    if bench:
        for short, name, side, quantity, condition, days, bagged, back in PULLS:
            if short in donors:
                _pull(
                    donors[short],
                    bench,
                    owner,
                    now - timedelta(days=days),
                    name,
                    side,
                    quantity,
                    condition,
                    bagged,
                    back,
                )
    DemoThing.mark(*donors.values())


def _pull(donor, bench, owner, at, name, side, quantity, condition, bagged, back) -> None:
    made = pulling.pull(
        donor=donor, name=name, side=side, quantity=Decimal(quantity), condition=condition, target=bench, by=owner,
        uid=uuid.uuid4(), zone=zone_of(name), back=back, bagged=read_bag(bagged), at=at,
    )  # fmt: skip
    DemoThing.mark(made.part, *([made.bag] if made.bag else []))
    DemoThing.mark(*Part.objects.filter(moves__batch=made.batch).distinct())
    if name == SOLD[0]:
        leave_shop(
            part=made.part, quantity=made.quantity, source=bench, reason=Reason.SOLD, by=owner,
            cost=Decimal(SOLD[1]), note=SOLD[2], at=at + timedelta(days=3),
        )  # fmt: skip
    if condition == Condition.PATTERN:
        copy = Part.objects.filter(name__startswith=name, side=side, origin=Origin.MADE).first()
        if copy:
            pulling.made_after(part=copy, pattern=made.part)


def remove() -> None:
    """Take the demo's donors away; one off which the shop has pulled something of its own stays."""
    parts = DemoThing.numbers(Part)
    donors = Donor.objects.filter(pk__in=DemoThing.numbers(Donor))
    Pull.objects.filter(donor__in=donors, part__in=parts).delete()
    Want.objects.filter(donor__in=donors.filter(pulls=None)).delete()
    for donor in donors.filter(pulls=None):
        try:
            donor.delete()
        except ProtectedError:
            continue
