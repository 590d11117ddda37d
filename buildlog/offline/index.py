"""The find index for the phone: every part and place in a few short values, fetched by difference.

Rows are kept together by their numbers, PACK to a pack, and each pack has a hash. A phone compares the hashes with
those it has and asks for the packs that differ: what it holds is right whatever it missed, and nothing has to be
remembered here about any phone. FORMAT changes when the rows do.
"""

import hashlib
import json
from collections.abc import Collection

from inventory.finding.calc.alike import GROUPS
from inventory.finding.models import SameWords
from inventory.finding.registry import codes_of
from inventory.parts.models import Holding, Part
from inventory.places.models import FormerAddress, Location

FORMAT = 1
PACK = 64
AT_ONCE = 10_000


def packs() -> dict[str, list[list]]:
    """Every row by the name of its pack: p0 holds parts 0 to 63, l0 such places. Eight queries, and two more for each
    further AT_ONCE of a kind.

    A part: number, name, part numbers, other names (also what fastener it is), note, condition, origin, unit, how many
    to keep, donor, codes, [[place, how many], ...] the fullest first. A place: number, the place it is in, kind, title,
    address, whether it has a name of its own, codes, former addresses, note, away.
    """
    found: dict[str, list[list]] = {}
    for letter, rows in (("p", _parts()), ("l", _places())):
        for row in rows:
            found.setdefault(f"{letter}{row[0] // PACK}", []).append(row)
    return found


def contents(rows: dict[str, list[list]]) -> dict:
    """What the phone compares: the format, the words that mean the same, and each pack's hash."""
    hashes = {name: _hash(pack) for name, pack in rows.items()}
    words = [*GROUPS, *SameWords.objects.values_list("words", flat=True)]
    said = {"format": FORMAT, "words": words, "packs": hashes}
    return {"version": _hash(said)} | said


def chosen(rows: dict[str, list[list]], names: Collection[str]) -> dict[str, list[list]]:
    """The packs asked for; all of them when none is named. One that is no more is empty."""
    return {name: rows.get(name, []) for name in names} if names else rows


def _hash(said) -> str:
    text = json.dumps(said, ensure_ascii=False, separators=(",", ":"))
    return hashlib.blake2b(text.encode(), digest_size=5).hexdigest()


def _codes(kind: str, ids: list[int]) -> dict[int, list[str]]:
    """All that Find knows a thing by, as the shop's own index has it; in portions that any SQLite takes."""
    found: dict[int, list[str]] = {}
    for start in range(0, len(ids), AT_ONCE):
        found |= codes_of(kind, ids[start : start + AT_ONCE])
    return found


def _parts() -> list[list]:
    held: dict[int, list] = {}
    holdings = Holding.objects.filter(quantity__gt=0).order_by("-quantity", "pk")
    for part, place, quantity in holdings.values_list("part_id", "location_id", "quantity"):
        held.setdefault(part, []).append([place, _number(quantity)])
    parts = list(Part.objects.current().order_by("pk"))
    codes = _codes("part", [part.pk for part in parts])
    return [
        [
            part.pk,
            str(part),
            part.number_list,
            [*part.other_name_list, *filter(None, [part.fastener.replace("×", "x")])],
            part.note,
            part.condition,
            part.origin,
            part.unit,
            _number(part.keep_at_least),
            part.donor_id or 0,
            codes.get(part.pk, []),
            held.get(part.pk, []),
        ]
        for part in parts
    ]


def _places() -> list[list]:
    places = list(Location.objects.current().order_by("pk"))
    codes = _codes("place", [place.pk for place in places])
    former: dict[int, list[str]] = {}
    for number, address in FormerAddress.objects.order_by("pk").values_list("location_id", "address"):
        former.setdefault(number, []).append(address)
    return [
        [
            place.pk,
            place.parent_id or 0,
            place.get_kind_display(),
            place.title,
            place.address,
            int(bool(place.name)),
            codes.get(place.pk, []),
            former.get(place.pk, []),
            place.note,
            int(place.away),
        ]
        for place in places
    ]


def _number(quantity) -> int | float:
    return int(quantity) if quantity == int(quantity) else float(quantity)
