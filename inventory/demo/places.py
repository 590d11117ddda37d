"""The places of the demo shop: a yard with a container, a rented barn with a bench and two cabinets, two donors."""

from dataclasses import dataclass

from inventory.places.actions import add_place
from inventory.places.actions_grid import container_places, organizer_places, racks_along, set_up
from inventory.places.calc.grid import Numbering
from inventory.places.models import Kind, Location, LocationChange, Side

CABINET = Numbering(style="letters", restart=True)
FACE = {"cell_width": 60, "cell_height": 40}  # mm


@dataclass
class Places:
    bins: list[Location]
    drawers: list[Location]
    bench: Location
    donors: dict[str, Location]
    all: list[Location]


def make_places() -> Places:
    yard = add_place(kind=Kind.SITE, name="Yard")
    barn = add_place(kind=Kind.SITE, name="Barn")
    away = add_place(kind=Kind.SITE, name="Coater across town", short="CO", away=True)
    racks = racks_along({Side.LEFT: 1, Side.RIGHT: 1}, shelves=3, bins=8, numbering=Numbering(digits=2), from_door=True)
    container = set_up(places=container_places(parent=yard, name="Container 1", short="C1", racks=racks), by=None)
    cabinets = [
        set_up(
            places=organizer_places(parent=barn, name=name, short=short, rows=5, cols=6, numbering=CABINET, **FACE),
            by=None,
        )
        for name, short in (("Cabinet by the lathe", "H1"), ("Cabinet by the door", "H2"))
    ]
    bench = add_place(kind=Kind.BENCH, name="Lathe bench", short="B1", parent=barn)
    donors = {
        "D1": add_place(kind=Kind.VEHICLE, name="Halvard 20 pickup, 1966", short="D1", parent=yard),
        "D2": add_place(kind=Kind.VEHICLE, name="Corvane estate, 1968", short="D2", parent=yard),
    }
    LocationChange.objects.all().delete()  # the demo begins with no changes to take back
    inside = list(Location.objects.under(container).in_order())
    drawers = [drawer for cabinet in cabinets for drawer in cabinet.children.in_order()]
    everything = [yard, barn, away, *inside, *cabinets, *drawers, bench, *donors.values()]
    bins = [place for place in inside if place.kind == Kind.BIN]
    return Places(bins=bins, drawers=drawers, bench=bench, donors=donors, all=everything)
