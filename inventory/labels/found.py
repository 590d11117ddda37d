"""What a label is stuck to is found by the code on it, as by an address."""

from collections.abc import Collection

from inventory.finding import registry
from inventory.finding.registry import Watch
from inventory.parts.models import Part

from .models import Label

_TABLE = "inventory_label"


def _codes(field: str, ids: Collection[int]) -> dict[int, list[str]]:
    found: dict[int, list[str]] = {}
    for number, code in Label.objects.filter(**{f"{field}__in": ids}).values_list(field, "code"):
        found.setdefault(number, []).append(code)
    return found


def _watches(kind: str, column: str) -> tuple[Watch, ...]:
    new = f"SELECT '{kind}', NEW.{column} WHERE NEW.{column} IS NOT NULL"
    old = f"SELECT '{kind}', OLD.{column} WHERE OLD.{column} IS NOT NULL"
    return (
        Watch(_TABLE, "INSERT", new),
        Watch(_TABLE, f"UPDATE OF {column}, code", f"{new} UNION {old}"),
        Watch(_TABLE, "DELETE", old),
    )


def codes_of_parts(ids: Collection[int]) -> dict[int, list[str]]:
    """Also the codes of what was merged into each: its sticker is still on the thing."""
    went_into: dict[int, int] = {}
    newest = list(ids)
    while newest:
        merged = Part.objects.filter(merged_into__in=newest).values_list("pk", "merged_into")
        newest = [number for number, _ in merged if number not in went_into]
        went_into |= dict(merged)
    found: dict[int, list[str]] = {number: [] for number in ids}
    for number, codes in _codes("part_id", {*ids, *went_into}).items():
        part: int | None = number
        while part is not None:
            if part in found:
                found[part] += codes
            part = went_into.get(part)
    return found


def codes_of_places(ids: Collection[int]) -> dict[int, list[str]]:
    return _codes("location_id", ids)


def install() -> None:
    registry.add_codes("part", codes_of_parts, _watches("part", "part_id"))
    registry.add_codes("place", codes_of_places, _watches("place", "location_id"))
