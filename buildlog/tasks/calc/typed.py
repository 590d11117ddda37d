"""Tasks typed or pasted as text, one a line.

    Side hatch:                              a line that ends in a colon: the area of those below it
    Hang the hatch 2-3h                      hours: '2h', '1-3h' (low-high) or '1-2-4h' (low-likely-high); '30min'
      Weld hatch hinges                      indented: must be done before the one it stands under
        Mill hinge blocks
      Fit gas strut brackets
    Fit the counter after: Hang the hatch    'after: …' names tasks above, below or already in the plan;
    Sand it  after: Weld hatch hinges; Cut   several with ';' or ','

List marks in front (-, *, •, 1., [ ]) are dropped; '[x]' means it is done. A tab is four spaces.
The goal stands on top and what it takes stands under it: several tasks joining in one is the usual case in a
workshop, one task setting several free the rarer, and that is what 'after:' is for.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from buildlog.tasks.calc.circle import find_circle

LONGEST_TITLE = 120
LONGEST_AREA = 60

_MARK = re.compile(r"(?:[-*•–]|\d+[.)])\s+")
_BOX = re.compile(r"\[( |x|X|✓)?\]\s*")
_AFTER = re.compile(r"\s*[(,;]?\s*\bafter:\s*(?P<after>.*?)\)?\s*$", re.IGNORECASE)
_NUMBER = r"\d+(?:[.,]\d+)?"
_HOURS = re.compile(
    rf"\s+(?P<a>{_NUMBER})(?:\s*[-–/]\s*(?P<b>{_NUMBER}))?(?:\s*[-–/]\s*(?P<c>{_NUMBER}))?\s*h(?:ours?|rs?)?$",
    re.IGNORECASE,
)
_MINUTES = re.compile(r"\s+(?:(?P<h>\d+)\s*h(?:ours?|rs?)?\s*)?(?P<min>\d+)\s*min(?:ute)?s?\.?$", re.IGNORECASE)
_BELOW = re.compile(rf"\s[-−–]{_NUMBER}\s*(?:h(?:ours?|rs?)?|min(?:ute)?s?)$", re.IGNORECASE)
_CENT = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class Line:
    """One typed task. line: its number, from 1. needs: line numbers; needs_known: ids in the plan."""

    line: int
    title: str
    area: str
    hours: tuple[Decimal | None, Decimal | None, Decimal | None]
    done: bool
    needs: tuple[int, ...]
    needs_known: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Problem:
    """kind: 'unknown' or 'ambiguous' need, 'circle', 'long' title or 'area', 'hours' out of order or 'below' 0.

    words: which.
    """

    line: int
    kind: str
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Typed:
    """again: titles that stand in the text more than once, or in the plan already."""

    lines: tuple[Line, ...]
    problems: tuple[Problem, ...]
    again: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Raw:
    line: int
    indent: int
    title: str
    area: str
    hours: tuple[Decimal | None, Decimal | None, Decimal | None]
    done: bool
    after: str


def key(title: str) -> str:
    """Titles are the same when they differ only in capitals and spaces."""
    return " ".join(title.split()).casefold()


def parse(text: str, known: Mapping[str, tuple[int, ...]] | None = None) -> Typed:
    """known: ids of the tasks in the plan by key(title). A name in the text wins over one in the plan."""
    rows = list(_rows(text))
    problems = [Problem(row.line, "long", (row.title,)) for row in rows if len(row.title) > LONGEST_TITLE]
    problems += [Problem(row.line, "hours", (row.title,)) for row in rows if falling(row.hours)]
    problems += [Problem(row.line, "below", (row.title,)) for row in rows if _BELOW.search(row.title)]
    long = {row.area: row.line for row in reversed(rows) if len(row.area) > LONGEST_AREA}
    problems += [Problem(line, "area", (area,)) for area, line in long.items()]
    here: dict[str, tuple[int, ...]] = {}
    for row in rows:
        here[key(row.title)] = (*here.get(key(row.title), ()), row.line)
    needs: dict[int, list[int]] = {row.line: [] for row in rows}
    for row, below in _indented(rows):
        needs[row].append(below)
    needs_known: dict[int, list[int]] = {row.line: [] for row in rows}
    for row in rows:
        found, missed = _resolve(row.after, here, known or {})
        problems += [Problem(row.line, kind, (words,)) for kind, words in missed]
        for source, id in found:
            (needs if source == "here" else needs_known)[row.line].append(id)
    circle = find_circle(needs)
    if circle:
        titles = {row.line: row.title for row in rows}
        problems.append(Problem(circle[0], "circle", tuple(titles[line] for line in circle)))
    lines = tuple(
        Line(row.line, row.title, row.area, row.hours, row.done,
             tuple(dict.fromkeys(needs[row.line])), tuple(dict.fromkeys(needs_known[row.line])))
        for row in rows
    )  # fmt: skip
    first = {lines_of[0] for name, lines_of in here.items() if len(lines_of) > 1 or name in (known or {})}
    again = tuple(row.title for row in rows if row.line in first)
    return Typed(lines, tuple(sorted(problems, key=lambda problem: problem.line)), again)


def _rows(text: str):
    area = ""
    for number, raw in enumerate(text.splitlines(), 1):
        body = raw.expandtabs(4).rstrip()
        indent = len(body) - len(body.lstrip())
        body = body.strip()
        mark = _MARK.match(body)
        body = body[mark.end() :] if mark else body
        box = _BOX.match(body)
        body = body[box.end() :] if box else body
        if not body:
            continue
        if body.endswith(":") and "after:" not in body.lower():
            area = body[:-1].strip()
            continue
        after = _AFTER.search(body)
        body = body[: after.start()] if after else body
        body, hours = _hours(body)
        if not body.strip():
            continue
        done = bool(box and (box.group(1) or "").strip())
        title = " ".join(body.split())
        yield _Raw(number, indent, title, area, hours, done, after["after"] if after else "")


def with_hours(line: str) -> tuple[str, tuple[Decimal | None, Decimal | None, Decimal | None]]:
    """A title and the hours at its end: ('Tack the frame', (None, 2, None)) of 'Tack the  frame 2h'."""
    body, hours = _hours(line.strip())
    return " ".join(body.split()), hours


def _hours(body: str):
    if minutes := _MINUTES.search(body):
        hours = Decimal(minutes["h"] or 0) + (Decimal(minutes["min"]) / 60).quantize(_CENT)
        return body[: minutes.start()], (None, hours, None)
    found = _HOURS.search(body)
    if not found:
        return body, (None, None, None)
    a, b, c = (Decimal(part.replace(",", ".")) if part else None for part in found.group("a", "b", "c"))
    if b is None:
        hours = (None, a, None)
    elif c is None:
        hours = (a, None, b)
    else:
        hours = (a, b, c)
    return body[: found.start()], hours


def falling(hours) -> bool:
    """Whether at best is more than likely, or likely more than at worst."""
    given = [value for value in hours if value is not None]
    return given != sorted(given)


def _indented(rows: list[_Raw]):
    """(line above, line indented under it), each with its nearest shallower line of the same area."""
    above: list[_Raw] = []
    for row in rows:
        while above and (above[-1].indent >= row.indent or above[-1].area != row.area):
            above.pop()
        if above:
            yield above[-1].line, row.line
        above.append(row)


def _resolve(after: str, here: Mapping[str, tuple], known: Mapping[str, tuple]):
    """Names to ids. Titles may hold commas ('Saw blocks, 4'), so the longest run that is a title wins."""
    found, missed = [], []
    for piece in filter(None, (part.strip() for part in after.split(";"))):
        words = piece.split(",")
        start = 0
        while start < len(words):
            for end in range(len(words), start, -1):
                name = ",".join(words[start:end]).strip()
                match = _match(name, here, known)
                if match:
                    break
            source, ids = match or ("", ())
            if not name:
                pass
            elif not ids:
                missed.append(("unknown", name))
            elif len(ids) > 1:
                missed.append(("ambiguous", name))
            else:
                found.append((source, ids[0]))
            start = end
    return found, missed


def _match(name: str, here: Mapping[str, tuple], known: Mapping[str, tuple]):
    """The exact title in the text, then in the plan; then the one title that begins so."""
    wanted = key(name)
    if not wanted:
        return None
    for source, titles in (("here", here), ("known", known)):
        if wanted in titles:
            return source, titles[wanted]
    for source, titles in (("here", here), ("known", known)):
        ids = tuple(id for title, ids in titles.items() if title.startswith(wanted) for id in ids)
        if ids:
            return source, ids
    return None
