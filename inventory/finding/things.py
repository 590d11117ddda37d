"""Parts and places as things that can be found: their documents, and what an answer shows."""

from collections.abc import Collection, Iterable

from inventory.parts.models import Condition, Holding, Part
from inventory.places.models import FormerAddress, Location
from inventory.templatetags.gusset import qty
from inventory.web import slots

from .calc.rank import code_text, field_text, joined
from .models import FindDocument
from .registry import Entry, Source, Watch, codes_of


def _titles(paths: Iterable[str]) -> dict[int, tuple[str, bool]]:
    """The title of every place on these ways down, and whether it is a name of its own, by id."""
    ids = {int(piece) for path in paths for piece in path.strip("/").split("/") if piece}
    return {
        place.pk: (place.title, bool(place.name))
        for place in Location.objects.only("name", "short", "kind").filter(pk__in=ids)
    }


def _steps(path: str) -> list[int]:
    return [int(piece) for piece in path.strip("/").split("/") if piece]


def part_documents(ids: Collection[int]) -> Iterable[Entry]:
    parts = Part.objects.current().filter(pk__in=ids).select_related("donor")
    held: dict[int, list[tuple[str, str]]] = {}
    rows = Holding.objects.filter(part_id__in=ids, quantity__gt=0).order_by("-quantity", "pk")
    for part, path, address in rows.values_list("part_id", "location__path", "location__address"):
        held.setdefault(part, []).append((path, address))
    titles = _titles(path for places in held.values() for path, _ in places)
    codes = codes_of("part", ids)
    ways: dict[str, str] = {}
    for part in parts:
        places = held.get(part.pk, [])
        for path, address in places:
            if path not in ways:
                ways[path] = joined(field_text(*(titles[step][0] for step in _steps(path))), code_text(address))
        donor = part.donor
        fields = {
            "code": code_text(*codes.get(part.pk, [])),
            "name": field_text(str(part)),
            "numbers": code_text(*part.number_list),
            "others": field_text(*part.other_name_list, part.fastener.replace("×", "x")),
            "notes": field_text(part.note),
            "place": joined(*(ways[path] for path, _ in places)),
            "donor": joined(field_text(donor.title), code_text(donor.address)) if donor else " ",
        }
        yield Entry(part.pk, fields)


def place_documents(ids: Collection[int]) -> Iterable[Entry]:
    places = list(Location.objects.current().filter(pk__in=ids))
    former: dict[int, list[str]] = {}
    for number, address in FormerAddress.objects.filter(location_id__in=ids).values_list("location_id", "address"):
        former.setdefault(number, []).append(address)
    titles = _titles(place.path for place in places)
    codes = codes_of("place", ids)
    for place in places:
        above = [titles[step][0] for step in _steps(place.path)[:-1]]
        named = [title for title, own in (titles[step] for step in _steps(place.path)[:-1]) if own]
        fields = {
            "code": code_text(place.address, *codes.get(place.pk, [])),
            "name": field_text(place.title),
            "others": joined(field_text(place.get_kind_display()), code_text(*former.get(place.pk, []))),
            "notes": field_text(place.note),
            "place": field_text(*above),
        }
        # The address says 'shelf 2' already, and the yard above a container says nothing new; alone it says where.
        yield Entry(place.pk, fields, " ▸ ".join(named[1:] if len(named) > 1 else named))


_SHOWN = (
    "name", "side", "origin", "condition", "unit", "keep_at_least", "part_numbers", "donor__address", "donor__name",
)  # fmt: skip


def part_cards(ids: Collection[int]) -> dict[int, dict]:
    """What an answer shows of parts; four queries however many."""
    parts = Part.objects.select_related("donor").only(*_SHOWN).filter(pk__in=ids)
    held: dict[int, list] = {}
    rows = Holding.objects.filter(part_id__in=ids, quantity__gt=0).order_by("-quantity", "pk")
    for row in rows.values_list("part_id", "quantity", "location_id", "location__address", "location__name"):
        held.setdefault(row[0], []).append(row)
    places = {row[2] for some in held.values() for row in some[:1]}
    ways = dict(FindDocument.objects.filter(kind="place", ref__in=places).values_list("ref", "way"))
    pictures, claimed = slots.pictures("part", ids), slots.spoken_for(ids)
    cards = {}
    for part in parts:
        rows = held.get(part.pk, [])
        on_hand = sum(row[1] for row in rows)
        first = rows[0] if rows else None
        good = part.condition in (Condition.GOOD, Condition.REPAIRABLE)
        cards[part.pk] = {
            "part": part,
            "url": part.get_absolute_url(),
            "says": _says(part, good),
            "hurt": "" if good else part.get_condition_display().lower(),
            "count": _count(part, on_hand),
            "claimed": qty(claimed[part.pk]) if part.pk in claimed else "",
            "keep": qty(part.keep_at_least) if on_hand < part.keep_at_least else "",
            "address": (first[3] or first[4]) if first else "",
            "way": ways.get(first[2], "") if first else "",
            "elsewhere": _elsewhere(len(rows) - 1),
            "picture": pictures.get(part.pk),
        }
    return cards


def _says(part: Part, good: bool) -> str:
    """'Pulled off D1 · repairable · no. 4-4410-2'."""
    found = [f"{part.get_origin_display()} off {part.donor}" if part.donor else part.get_origin_display()]
    if good:
        found.append(part.get_condition_display().lower())
    if numbers := part.number_list:
        found.append(f"no. {numbers[0]}")
    return " · ".join(found)


def _count(part: Part, on_hand) -> str:
    return f"{qty(on_hand)} on hand" if part.whole else f"{qty(on_hand)} {part.get_unit_display()} on hand"


def _elsewhere(places: int) -> str:
    return f"{places} more place{'s' if places > 1 else ''}" if places > 0 else ""


def place_cards(ids: Collection[int]) -> dict[int, dict]:
    """What an answer shows of places; three queries however many."""
    ways = dict(FindDocument.objects.filter(kind="place", ref__in=ids).values_list("ref", "way"))
    pictures = slots.pictures("place", ids)
    return {
        place.pk: {"place": place, "way": ways.get(place.pk, ""), "picture": pictures.get(place.pk)}
        for place in Location.objects.filter(pk__in=ids)
    }


_PART, _PLACE, _HOLDING = "inventory_part", "inventory_location", "inventory_holding"
_IS_THERE = (
    "(NEW.quantity > 0) <> (OLD.quantity > 0) OR NEW.location_id <> OLD.location_id OR NEW.part_id <> OLD.part_id"
)
_INSIDE = "l.path >= NEW.path AND l.path < NEW.path || ':'"  # ':' comes right after the figures
_HELD_INSIDE = (
    f"SELECT 'part', h.part_id FROM {_PLACE} l "  # noqa: S608, names are ours
    f"JOIN {_HOLDING} h ON h.location_id = l.id WHERE {_INSIDE}"
)
_FORMER = "inventory_formeraddress"

PARTS = Source(
    kind="part",
    ids=lambda: Part.objects.current().values_list("pk", flat=True),
    documents=part_documents,
    cards=part_cards,
    template="inventory/finding/part.html",
    watches=(
        Watch(_PART, "INSERT", "SELECT 'part', NEW.id"),
        Watch(
            _PART,
            "UPDATE OF name, other_names, part_numbers, side, donor_id, note, fastener, retired_at",
            "SELECT 'part', NEW.id",
        ),
        Watch(_PART, "DELETE", "SELECT 'part', OLD.id"),
        Watch(_HOLDING, "INSERT", "SELECT 'part', NEW.part_id"),
        Watch(_HOLDING, "DELETE", "SELECT 'part', OLD.part_id"),
        Watch(
            _HOLDING,
            "UPDATE OF quantity, location_id, part_id",
            "SELECT 'part', NEW.part_id UNION SELECT 'part', OLD.part_id",
            _IS_THERE,
        ),
        Watch(_PLACE, "UPDATE OF name, short, address, path, kind", f"{_HELD_INSIDE}"),
        Watch(
            _PLACE,
            "UPDATE OF name, short, address",
            f"SELECT 'part', p.id FROM {_PART} p WHERE p.donor_id = NEW.id",  # noqa: S608
        ),
    ),
)

PLACES = Source(
    kind="place",
    ids=lambda: Location.objects.current().values_list("pk", flat=True),
    documents=place_documents,
    cards=place_cards,
    template="inventory/finding/place.html",
    watches=(
        Watch(_PLACE, "INSERT", "SELECT 'place', NEW.id"),
        Watch(_PLACE, "DELETE", "SELECT 'place', OLD.id"),
        Watch(
            _PLACE,
            "UPDATE OF name, short, address, path, kind",
            f"SELECT 'place', NEW.id UNION SELECT 'place', l.id FROM {_PLACE} l WHERE {_INSIDE}",  # noqa: S608
        ),
        Watch(_PLACE, "UPDATE OF note, retired_at, unused", "SELECT 'place', NEW.id"),
        Watch(_FORMER, "INSERT", "SELECT 'place', NEW.location_id"),
        Watch(_FORMER, "DELETE", "SELECT 'place', OLD.location_id"),
    ),
)
