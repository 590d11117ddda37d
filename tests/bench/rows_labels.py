"""Labels: five hundred of them beside WeasyPrint alone on the same pages, and a scanned code that leads on."""

from django.test import RequestFactory

from inventory.labels import actions, bases, pdf, printing
from inventory.labels.models import PrintRun
from inventory.labels.symbols import path
from inventory.places.models import Location

from .rows import Row, row, side_by_side

LABELS = 500


@row("labels", once=True)
def five_hundred(shop):
    """Ours reads the places, fits the words and makes the symbols; the floor is WeasyPrint with all that done."""
    places = list(Location.objects.current()[:LABELS])
    labels = [*actions.labels_for(things=places, by=None), *actions.make_blank(count=LABELS - len(places))]
    run = PrintRun(stock="a4-3x7-63.5x38.1", base="https://gusset.lan:8443", codes=[label.code for label in labels])
    ready = [_as_svg(page) for page in printing.page_drawings(run)]
    ours, floor = side_by_side(lambda: pdf.write(printing.page_drawings(run)), lambda: pdf.write(ready), rounds=3)
    yield Row(f"{LABELS} labels to PDF, ms", ours, floor, 1.25)


def _as_svg(page: pdf.Page) -> pdf.Page:
    """The page as WeasyPrint alone would be given it: the symbols are paths among the words."""
    symbols = "".join(
        f'<g transform="translate({one.x} {one.y}) scale({one.module})"><path d="{path(one.bars)}"/></g>'
        for one in page.squares
    )
    return page._replace(content=page.content + symbols, squares=())


@row("scanned code")
def scanned_code(shop):
    place = Location.objects.filter(kind="bin").first()
    label = actions.labels_for(things=[place], by=None)[0]
    address = bases.payload(bases.current(RequestFactory().get("/")).address, label.code).partition("/L/")[2]
    size = len(shop.client.get(f"/L/{address}").content)
    ours, floor = side_by_side(lambda: shop.client.get(f"/L/{address}"), lambda: shop.client.get(f"/bare/{size}/"))
    yield Row(f"a scanned code leads on, {shop.parts:,} parts, ms", ours, floor, 2)
