"""A donor to take apart in tests."""

import uuid
from decimal import Decimal

from inventory.donors import actions
from inventory.donors.models import Donor, Pull
from inventory.donors.pulling import pull
from tests.factories import make_place


def make_donor(short: str = "D1", **fields) -> Donor:
    place = make_place("vehicle", name="Halvard 20 pickup", short=short)
    return actions.add_donor(by=None, location=place, **{"shape": "pickup", "price": Decimal(650), **fields})


def make_pull(donor: Donor, name: str = "Wiper motor", *, to, quantity: int = 1, by=None, **fields) -> Pull:
    return pull(donor=donor, name=name, quantity=Decimal(quantity), target=to, by=by, **{"uid": uuid.uuid4(), **fields})
