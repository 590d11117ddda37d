"""One question for every kind of thing: find(text) gives the answers, the best first."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from django.db.models import Exists, F, OuterRef, Q
from django.db.models.expressions import RawSQL

from inventory.parts.models import Holding, Move, Part
from inventory.places.models import Location

from . import registry
from .backends import BEGINS, Asked, Scope, backend
from .calc.alike import Alike, table
from .calc.fold import words
from .calc.query import Query, parse
from .calc.rank import START, WHOLE, Document, rank
from .calc.slips import SHORTEST, edits
from .index import refresh
from .models import FindDocument, SameWords

MOST = 100  # answers ranked for one question; whoever needs more than five pages types one more letter
NEAR = 8  # near misses shown

# Where more than MOST meet a query, the strictest ways are asked first until there are enough. A code within a code
# is looked for only where there is a figure in what was typed: among a hundred thousand names it is the dear question.
LEVELS = (
    (("code",), BEGINS),
    (("code",), WHOLE),
    (("name",), BEGINS),
    (("name",), WHOLE),
    (("name",), START),
    (("code", "name", "numbers", "others"), START),
)


@dataclass(frozen=True, slots=True)
class Filters:
    """What an answer must also be. Anything said of parts leaves out what is not a part."""

    place_kind: str = ""
    condition: str = ""
    origin: str = ""
    donor: int | None = None
    low: bool = False
    not_counted_since: date | None = None

    def __bool__(self) -> bool:
        return any((self.place_kind, self.condition, self.origin, self.donor, self.low, self.not_counted_since))

    @property
    def of_parts(self) -> bool:
        return any((self.condition, self.origin, self.donor, self.low))


@dataclass(frozen=True, slots=True)
class Answer:
    kind: str
    ref: int
    card: Any
    template: str


@dataclass(frozen=True, slots=True)
class Found:
    """One page of answers. `near`: they miss a word, or a word was read as another ({typed: read})."""

    answers: list[Answer] = field(default_factory=list)
    total: int = 0
    capped: bool = False
    near: bool = False
    read_as: dict[str, tuple[str, ...]] = field(default_factory=dict)


def words_alike() -> Alike:
    return table(tuple(SameWords.objects.values_list("words", flat=True)))


def find(text: str, filters: Filters | None = None, *, limit: int = 20, offset: int = 0) -> Found:
    """Answers to what was typed, ranked as calc/rank.py says. The number of queries does not grow with the shop."""
    refresh()
    query = parse(text, words_alike())
    scope = _scope(filters or Filters())
    if not query.words:
        return _all(scope, limit, offset) if filters else Found()
    ranked, capped = _ranked(query, scope)
    read_as, near = {}, False
    if not ranked:
        query, read_as = _slips(query, scope)
        ranked, capped = _ranked(query, scope) if read_as else ([], False)
    if not ranked:
        ranked, near, read_as = _near(query, scope), True, {}
    return Found(_answers(ranked[offset : offset + limit]), len(ranked), capped, near and bool(ranked), read_as)


def meant(kind: str, text: str, most: int) -> tuple[list[int], list[int]]:
    """The things of one kind that may be meant by what was typed into a picker, as `find`; then the near misses."""
    refresh()
    query = parse(text, words_alike())
    scope = Scope("d.kind = %s", (kind,))
    ranked, _ = _ranked(query, scope) if query.words else ([], False)
    if query.words and not ranked:
        query, read_as = _slips(query, scope)
        ranked = _ranked(query, scope)[0] if read_as else []
    near = [] if ranked else _near(query, scope)
    return [row.ref for row in ranked[:most]], [row.ref for row in near[:most]]


def with_words(kind: str, text: str):
    """The numbers of the things of a kind that have every word of the text in their name or notes, also within a word:
    for a list in an order of its own. Words are folded as everywhere; a text without any meets nothing."""
    refresh()
    found = FindDocument.objects.filter(kind=kind)
    for word in (wanted := words(text)):
        found = found.filter(Q(name__contains=word) | Q(notes__contains=word))
    return (found if wanted else found.none()).values("ref")


def _ranked(query: Query, scope: Scope) -> tuple[list[Document], bool]:
    """The documents that meet the query, the best first, at most MOST; and whether there were more."""
    ask = backend().candidates
    ids = ask(Asked(query), scope, MOST + 1)
    capped = len(ids) > MOST
    if capped:
        best: dict[int, None] = {}
        figures = any(c.isdigit() for word in query.words for c in word.forms[0])
        for fields, how in LEVELS:
            if (fields, how) == (("code",), WHOLE) and not figures:
                continue
            best.update(dict.fromkeys(ask(Asked(query, fields, how), scope, MOST)))
            if len(best) >= MOST:
                break
        ids = list(dict.fromkeys((*best, *ids)))[:MOST]
    keyed = [(key, row) for row in backend().documents(ids) if (key := rank(row, query))]
    keyed.sort(key=lambda pair: pair[0])
    return [row for _, row in keyed], capped


def _slips(query: Query, scope: Scope) -> tuple[Query, dict[str, tuple[str, ...]]]:
    """The query with known words one slip away from each word that nothing meets."""
    read_as, slips = {}, {}
    for i, word in enumerate(query.words):
        typed = word.forms[0]
        if len(typed) < SHORTEST or not typed.isalpha():
            continue
        if backend().candidates(Asked(Query((word,))), Scope(), 1):
            continue
        near = edits(typed)
        found = backend().known(near, False) or (
            backend().known([other for other in near if len(other) >= SHORTEST], True)
            if i == len(query.words) - 1
            else []
        )
        if found:
            slips[i] = tuple(found)
            read_as[typed] = tuple(found)
    return query.with_slips(slips), read_as


def _near(query: Query, scope: Scope) -> list[Document]:
    """What meets all words but one."""
    found: dict[tuple[str, int], Document] = {}
    if 1 < len(query.words) <= 4:
        for i in range(len(query.words)):
            for row in _ranked(query.without(i), scope)[0][:NEAR]:
                found.setdefault((row.kind, row.ref), row)
    return list(found.values())[:NEAR]


def _all(scope: Scope, limit: int, offset: int) -> Found:
    """Everything within the filters, by name."""
    rows = FindDocument.objects.only("kind", "ref")
    if scope.where:
        where = RawSQL(f"SELECT d.id FROM inventory_finddocument d WHERE {scope.where}", scope.params)  # noqa: S611, S608
        rows = rows.filter(pk__in=where)
    some = list(rows.order_by("name", "pk")[: MOST + 1])
    capped = len(some) > MOST
    return Found(_answers(some[:MOST][offset : offset + limit]), min(len(some), MOST), capped)


def _answers(rows: Sequence[Document | FindDocument]) -> list[Answer]:
    sources = registry.sources()
    cards = {
        kind: sources[kind].cards([row.ref for row in rows if row.kind == kind])
        for kind in dict.fromkeys(row.kind for row in rows)
        if kind in sources
    }
    return [
        Answer(row.kind, row.ref, cards[row.kind][row.ref], sources[row.kind].template)
        for row in rows
        if row.ref in cards.get(row.kind, {})
    ]


def _scope(filters: Filters) -> Scope:
    """The filters as SQL over the document d."""
    if not filters:
        return Scope()
    kinds = [("part", _parts(filters))]
    if not filters.of_parts:
        kinds.append(("place", _places(filters)))
    where, params = [], []
    for kind, rows in kinds:
        column = f"{rows.model._meta.db_table}.id"
        sql, some = rows.extra(where=[f"{column} = d.ref"]).values("pk").query.sql_with_params()  # noqa: S610
        where.append(f"(d.kind = '{kind}' AND EXISTS ({sql}))")
        params += some
    return Scope(" OR ".join(where), tuple(params))


def _parts(filters: Filters):
    parts = Part.objects.current().order_by()
    for name in ("condition", "origin"):
        if value := getattr(filters, name):
            parts = parts.filter(**{name: value})
    if filters.donor:
        parts = parts.filter(donor=filters.donor)
    held = Holding.objects.filter(part=OuterRef("pk"))
    if filters.place_kind:
        parts = parts.filter(Exists(held.filter(location__kind=filters.place_kind)))
    if filters.not_counted_since:
        parts = parts.filter(Exists(held.filter(_not_counted(filters.not_counted_since, "location__"))))
    if filters.low:
        parts = parts.filter(pk__in=Part.objects.low().order_by().values("pk"))
    return parts


def _places(filters: Filters):
    places = Location.objects.current().order_by()
    if filters.place_kind:
        places = places.filter(kind=filters.place_kind)
    if filters.not_counted_since:
        places = places.filter(_not_counted(filters.not_counted_since))
    return places


def _not_counted(since: date, through: str = "") -> Q:
    return Q(**{f"{through}counted_at": None}) | Q(**{f"{through}counted_at__date__lt": since})


def recent_parts(limit: int = 6) -> list[Answer]:
    """The parts that were moved last, as answers."""
    lately = Move.objects.filter(part__retired_at=None).order_by("-pk").values_list("part_id", flat=True)[:60]
    ids = list(dict.fromkeys(lately))[:limit]
    cards = registry.sources()["part"].cards(ids)
    return [Answer("part", ref, cards[ref], registry.sources()["part"].template) for ref in ids if ref in cards]


def top_places(limit: int = 12):
    """The top of the tree: the roots and what stands in them."""
    top = Q(parent=None) | Q(parent__parent=None)
    return Location.objects.current().filter(top).order_by("path", "order", "pk")[:limit]


def donors():
    """Vehicles that some part came off, for the filter."""
    came = Part.objects.filter(donor=OuterRef("pk"), retired_at=None)
    return Location.objects.filter(Exists(came)).order_by(F("name"), "pk")
