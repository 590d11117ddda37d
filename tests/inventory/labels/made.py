"""Labels of the scenario, in hand for tests: short and long addresses, parts, blanks. The same codes each time."""

import random

from inventory.labels import codes, draw
from inventory.labels.calc.face import Content, lay_out
from inventory.labels.draw import Drawn, drawn
from inventory.labels.pdf import Page
from inventory.labels.type import measure

BASE = "HTTPS://GUSSET.LOCAL:8443/L/"
SAYS = [
    ("C1·L2·14", "Hatch hinges, pins", "Container 1 · left rack · shelf 2"),
    ("H2·B3", "M8×25 flange 10.9", "Organizer 2 · row B · drawer 3"),
    ("D1", "Halvard 20 pickup", "Donor · yard, north fence"),
    ("C12·LEFT RACK·SHELF 10·BOX 144", "Everything from the roof: rails, gutters and vents, bagged by side", ""),
    ("Øst·Blåskap·Åpen·7", "Overføring fra Łódź og Čačak", "Skur"),
    ("", "Rear axle hub, left, with the long studs and the old brake back plate", "off D1, repairable"),
    ("", "Hinge", ""),
    ("BARN", "", ""),
]
CELLS = (("Container", "20 ft, yard"), ("Holds", "2 racks, 48 bins"), ("Printed", "24 Nov 2026"))


def contents(count: int, base: str = BASE) -> list[Content]:
    made, rand = [], random.Random(20)
    for i in range(count):
        code = codes.draw(rand.choice)
        if i % 9 == 8:
            made.append(Content(base + code, codes.spaced(code), asks="Blank. Stick it on, then scan it."))
        else:
            address, name, trail = SAYS[i % 9]
            made.append(Content(base + code, codes.spaced(code), address, name, trail, cells=CELLS))
    return made


def laid(content: Content, stock) -> Drawn:
    return drawn(lay_out(content, stock, measure), content.payload)


def base_for(stock) -> str:
    """The usual base address, or none where the stock only holds the code alone."""
    return BASE if stock.h >= 15 else ""


def page(stock, made: list[Content], **options) -> Page:
    return draw.page(stock, list(enumerate(laid(content, stock) for content in made)), **options)
