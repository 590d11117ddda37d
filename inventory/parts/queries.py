"""Reads over parts and the ledger that more than one page needs."""

from datetime import datetime
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.db.models import Max, Q, Sum

from inventory.people.models import Person
from inventory.places.models import Kind, Location
from inventory.web import slots
from inventory.web.forms import TOO_LONG
from inventory.web.meant import meant, meant_or_near
from inventory.web.picker import Choice

from .hardware import kept, key_of, read_name
from .models import Batch, Holding, Move, Part

NEW = "new:"  # a choice that stands for a part of that name which is not in the list yet
NEAR = 4  # near misses a picker shows before a new part
LONGEST_NUMBER = 18  # figures; a longer one fits in no database
BAG = "BAG"  # how the short name of a bag of fasteners begins
HELD = "held:"  # a choice that stands for what lies somewhere, by its number or, from a phone, as part@place


def last_places(person: Person, *, but: Location | None = None, limit: int = 4) -> list[Location]:
    """Where this person put things lately, the newest first; the benches of the shop fill up what is missing.

    With `but`, the place things are taken from, only where things were taken *to* counts, not where new ones came in.
    """
    lately = (
        Move.objects.filter(by=person, target__isnull=False, reverses=None, target__retired_at=None)
        .filter(Q(source__isnull=False) if but else Q())
        .exclude(target__kind=Kind.BIN, target__short__startswith=BAG)  # a bag goes with its part
        .order_by()
        .values("target")
        .annotate(last=Max("pk"))
        .order_by("-last")
        .values_list("target", flat=True)[: limit + 1]
    )
    numbers = list(lately)
    found = Location.objects.current().in_bulk(numbers)
    places = [found[number] for number in numbers if number in found]
    if len(places) < limit:
        benches = Location.objects.current().filter(kind=Kind.BENCH).exclude(pk__in=numbers).in_order()
        places += list(benches[: limit - len(places)])
    return [place for place in places if place != but][:limit]


def parts_meant(text: str, limit: int = 8) -> tuple[list[Part], list[Part]]:
    """The parts that may be meant by what was typed, the best first: as Find reads it, with slips and other words.

    Where none is, the second list has those that meet all of its words but one.
    """
    found, near = meant_or_near("part", text, limit)
    parts = Part.objects.current().in_bulk([*found, *near])
    return [parts[pk] for pk in found if pk in parts], [parts[pk] for pk in near if pk in parts]


def pick_parts(text: str, limit: int = 8) -> list[Choice]:
    """Parts that may be meant by what was typed, the best first, and at the end a new part of that name.

    Where none is, those that come near stand before the new one, so that nothing is listed twice unawares.
    A fastener is the same one however it is written: 'M8x25 hex 8.8' finds 'Hex bolt M8×25 8.8'.
    """
    text = text.strip()
    key = key_of(text)
    same = list(Part.objects.current().same_fastener(key)[:limit]) if key else []
    read, near = parts_meant(text, limit)
    found = (same + [part for part in read if part not in same])[:limit]
    called_so = [part for part in found if _is_it(part, text, key)]
    choices = [
        Choice(
            str(part.pk),
            str(part),
            _said(part, key),
            exact=called_so == [part],
        )
        for part in found
    ]
    if not found:
        choices = [Choice(str(part.pk), str(part), f"Near: {_said(part, key)}", near=True) for part in near[:NEAR]]
    understood = kept(read_name(text))["fastener"]
    detail = f"Understood as {understood}" if understood else "Nothing of that name yet"
    return [*choices, Choice(f"{NEW}{text}", f"New part: {text}", detail, exact=not choices)]


def called(part: Part) -> set[str]:
    """What a person may type for the part, apart from another way to write a fastener."""
    return {text.casefold() for text in (part.name, str(part), *part.number_list)}


def _is_it(part: Part, text: str, key: str) -> bool:
    return text.casefold() in called(part) or bool(key and part.fastener_key == key)


def _said(part: Part, key: str) -> str:
    if key and part.fastener_key == key:
        return f"The same: {part.fastener} · {part.get_condition_display()} · {part.get_origin_display()}"
    return f"{part.get_condition_display()} · {part.get_origin_display()}"


def on_benches(text: str = "", *, limit: int = 6) -> list[Choice]:
    """What lies on the benches, as choices: putting it away is a move from there, not something new."""
    rows = Holding.objects.filter(location__kind=Kind.BENCH).select_related("part", "location")
    if text:
        rows = rows.filter(part__in=meant("part", text, 60))
    return [
        Choice(f"{HELD}{row.pk}", str(row.part), f"{row.quantity:f} on {row.location.title}", row.location.address)
        for row in rows.order_by("-pk")[:limit]
    ]


def pick_to_put_in(text: str) -> list[Choice]:
    """What may be put into a place: things from the benches first, then parts in the list, then a new one."""
    return [*on_benches(text), *pick_parts(text)]


def get_to_put_in(value: str) -> tuple[Part, Location | None] | None:
    """The part a choice stands for, and the place it comes from when it does.

    A phone without signal knows no holding by its number: it says part@place.
    """
    if value.startswith(HELD):
        number, at, place = value.removeprefix(HELD).partition("@")
        if not number.isdecimal() or (at and not place.isdecimal()) or max(len(number), len(place)) > LONGEST_NUMBER:
            return None
        wanted = Q(part=number, location=place) if at else Q(pk=number)
        row = Holding.objects.select_related("part", "location").filter(wanted).first()
        return (row.part, row.location) if row else None
    part = get_part(value)
    return (part, None) if part else None


def get_part(value: str) -> Part | None:
    """The part a choice stands for; an unsaved one for a new name. Raises ValidationError when that is too long."""
    if value.startswith(NEW):
        name, longest = value.removeprefix(NEW), Part._meta.get_field("name").max_length
        if len(name) > longest:
            raise ValidationError(TOO_LONG, params={"show_value": len(name), "limit_value": longest})
        return Part(name=name)
    return Part.objects.current().filter(pk=value).first() if value.isdecimal() else None


def get_known_part(value: str) -> Part | None:
    """As get_part, where a part that is not in the list yet will not do."""
    return get_part(value) if value.isdecimal() else None


def holdings_at(location: Location):
    """What lies directly at the place, by name."""
    return location.holdings.select_related("part__donor").order_by("part__name", "pk")


def holdings_of(part: Part):
    """Where the part is, the fullest place first."""
    return part.holdings.select_related("location").order_by("-quantity", "location__address_key")


def holds(location: Location) -> tuple[int, Decimal]:
    """How many kinds and how many pieces the place and all in it hold."""
    totals = Holding.objects.inside(location).aggregate(pieces=Sum("quantity"))
    kinds = Holding.objects.inside(location).values("part").distinct().count()
    return kinds, totals["pieces"] or Decimal(0)


def story(part: Part):
    """Every move of the part and of those merged into it, the newest first, with the places and the person."""
    return (
        Move.objects.filter(part__in=_one_with(part))
        .select_related("source", "target", "by", "batch", "reverses", "reversed_by", "part")
        .order_by("-at", "-pk")
    )


def _one_with(part: Part) -> set[int]:
    """The part and all that were merged into it, one merge after the other."""
    found, newest = {part.pk}, {part.pk}
    while newest:
        newest = set(Part.objects.filter(merged_into__in=newest).values_list("pk", flat=True)) - found
        found |= newest
    return found


def merges() -> dict[int, tuple[int, datetime]]:
    """What every merged part went into, and when."""
    rows = Part.objects.exclude(merged_into=None).values_list("pk", "merged_into", "retired_at")
    return {number: (into, at) for number, into, at in rows}


def latest_batches():
    return Batch.objects.select_related("by", "undone_by").order_by("-at")


def spoken_for(part: Part) -> Decimal:
    return slots.spoken_for([part.pk]).get(part.pk, Decimal(0))


def with_facts(holdings) -> dict:
    """What rows of things show beside the holding: pictures, and how many open tasks have claimed."""
    ids = [row.part_id for row in holdings]
    return {"pictures": slots.pictures("part", ids), "claimed": slots.spoken_for(ids)}
