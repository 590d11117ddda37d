"""What is said of a row in the dry run."""

from inventory.parts.models import Unit

from .calc.rows import Problem
from .forms import NAMED
from .plan import CHANGED, ERROR, PUT_IN, Planned

SAYS = {
    ("name", "missing"): "No name.",
    ("name", "too-long"): "The name is longer than 120 letters: “{text}…”",
    ("place", "missing"): "It says how many, but not where.",
    ("place", "unclear"): "“{text}” is no place.",
    ("place", "several"): "“{text}” could be several places. Say which.",
    ("place", "beside"): "{text}; a new place is made beside them. Is it one of those?",
    ("place", "too-deep"): "“{text}” has more steps than a place can have.",
    ("place", "too-long"): "The name of the place is too long: “{text}”",
    ("quantity", "unclear"): "“{text}” is no number.",
    ("quantity", "negative"): "“{text}” is less than nothing.",
    ("quantity", "too-big"): "“{text}” is too many.",
    ("quantity", "missing"): "No number given: it comes into the list of parts, but into no place.",
    ("quantity", "about"): "“{text}” is taken as {amount}. Count it when you are there.",
    ("unit", "two-units"): "Two units: “{text}”.",
    ("keep_at_least", "unclear"): "Keep at least “{text}” is no number; left out.",
}
LEFT_OUT_AS = {
    "title": "a heading between the rows",
    "total": "a total",
    "repeated-heading": "the headings again",
}


def problem(found: Problem, row: Planned) -> str:
    if found.code == "unknown-word":
        return f"{NAMED[found.column]} “{found.text}” is not known; kept in the note."
    amount = row.reading.quantity.amount
    return SAYS[found.column, found.code].format(text=found.text, amount="" if amount is None else f"{amount:f}")


def row_words(row: Planned) -> dict:
    """What the page shows of one row."""
    reading = row.reading
    amount = reading.quantity.amount
    unit = "" if reading.unit in ("", Unit.PIECES) else f" {Unit(reading.unit).label}"
    return {
        "number": reading.row,
        "name": reading.name or "—",
        "outcome": row.outcome,
        "bad": row.outcome in (ERROR, CHANGED),
        "quantity": "" if amount is None else f"{amount:f}{unit}",
        "place": str(row.place) if row.place and row.outcome == PUT_IN else "",
        "way": row.place.title if row.place and row.outcome == PUT_IN and row.place.short else "",
        "new_place": bool(row.place and row.place.pk is None),
        "new_part": row.new_part,
        "says": [problem(found, row) for found in row.problems],
        "fate": _fate(row),
    }


def _fate(row: Planned) -> str:
    match row.outcome:
        case "put_in" | "list_only":
            what = "new part" if row.new_part else "part in the list already"
            return what if row.outcome == PUT_IN else f"{what}, none put in a place"
        case "known":
            return "in already, adds nothing"
        case "changed":
            now = row.reading.quantity.amount or 0
            return f"in already, as {row.before:f}; the list now says {now:f}. Adds nothing: count it there."
        case "left_out":
            return f"left out: {LEFT_OUT_AS[row.reading.left_out]}"
        case _:
            return "not brought in"
