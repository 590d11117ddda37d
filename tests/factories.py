"""Dull things to test with: plain functions, dull defaults, keywords only where it matters."""

from itertools import count

from inventory.importing.actions import begin, import_rows
from inventory.importing.calc.columns import guess_columns
from inventory.importing.models import Import
from inventory.importing.reading import read_pasted
from inventory.importing.store import keep, readings_of
from inventory.parts.actions import put_in
from inventory.parts.models import Part
from inventory.parts.quantity import exact
from inventory.people.models import Person
from inventory.places.actions import add_place
from inventory.places.models import Location

_number = count(1)
PASSWORD = "a long cold barn night"


def make_person(role: str = "owner", *, name: str = "") -> Person:
    return Person.objects.create_user(name or f"{role}{next(_number)}", PASSWORD, role=role)


def make_place(kind: str = "bin", *, short: str = "", parent: Location | None = None, **fields) -> Location:
    return add_place(kind=kind, short=short or f"P{next(_number)}", parent=parent, **fields)


def make_part(name: str = "", *, holds: dict[Location, int] | None = None, **fields) -> Part:
    """A part, and how many of it lie where."""
    part = Part.objects.create(name=name or f"Part {next(_number)}", **fields)
    for place, quantity in (holds or {}).items():
        put_in(part=part, quantity=exact(quantity), target=place, by=None)
    return part


def make_list(text: str, *, brought: bool = False) -> Import:
    """A list that was read and waits to be brought in, or is in."""
    read = read_pasted(text)
    columns = [column.field for column in guess_columns(read.table)]
    rows = len(read.table.rows)
    source = begin(name="list.csv", how=read.how, headings=read.table.headings, columns=columns, rows=rows, by=None)
    keep(source, read.table)
    if brought:
        import_rows(readings=list(readings_of(source)), name=source.name, by=None, source=source)
    return source
