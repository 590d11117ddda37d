"""What a label is stuck to is found by the code on it, as by an address."""

from collections.abc import Collection

from inventory.finding import registry
from inventory.finding.registry import Watch

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
    return _codes("part_id", ids)


def codes_of_places(ids: Collection[int]) -> dict[int, list[str]]:
    return _codes("location_id", ids)


def install() -> None:
    registry.add_codes("part", codes_of_parts, _watches("part", "part_id"))
    registry.add_codes("place", codes_of_places, _watches("place", "location_id"))
