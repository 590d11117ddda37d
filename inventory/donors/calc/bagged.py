"""Reads what went into a bag of fasteners: a line each, with its number ('6 × M8×25 hex', 'M8 nut x 6')."""

from dataclasses import dataclass

from inventory.fasteners.calc.counted import number_after, number_before

MOST_LINES = 20


@dataclass(frozen=True, slots=True)
class Bagged:
    quantity: int
    what: str


def read_bag(text: str) -> tuple[Bagged, ...]:
    """Each line that says something, the same thing added up; a line without a number is one piece."""
    found: dict[str, Bagged] = {}
    for line in text.splitlines():
        said = " ".join(line.split()).strip(" ,;")
        if not said:
            continue
        number, what = number_before(said) or number_after(said) or (1, said)
        if not 0 < number < 10_000:
            number, what = 1, said
        before = found.get(what.casefold())
        found[what.casefold()] = Bagged(number + before.quantity, before.what) if before else Bagged(number, what)
    return tuple(found.values())
