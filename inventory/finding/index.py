"""Keeping what is searched right.

Triggers mark what changed, whoever changed it: a screen, a bulk import, a merge, a renamed yard, plain SQL. The next
search writes the marked documents anew before it looks. So no feature has to remember to tell the search, a move
costs one short row, and an answer is never older than the question.
"""

from collections.abc import Collection

from django.db import OperationalError, connection, transaction
from django.db.migrations.executor import MigrationExecutor

from . import registry
from .backends import backend
from .calc.rank import FIELDS, GAP
from .models import FindDocument, KnownWord, StaleDocument

PORTION = 500  # documents a transaction, so that nobody waits long to write


def refresh() -> int:
    """Write anew every document that is stale; how many. One quick query where none is.

    When another is writing and does not make way, the search goes on with what it has; the marks stay.
    """
    written = 0
    while StaleDocument.objects.exists():
        try:
            written += _portion()
        except OperationalError:
            break
    return written


@transaction.atomic
def _portion() -> int:
    stale = list(StaleDocument.objects.order_by("pk")[:PORTION])
    known = registry.sources()
    for kind in {row.kind for row in stale}:
        if kind in known:
            write(kind=kind, ids=[row.ref for row in stale if row.kind == kind])
    StaleDocument.objects.filter(pk__in=[row.pk for row in stale]).delete()
    return len(stale)


@transaction.atomic
def write(*, kind: str, ids: Collection[int]) -> None:
    """Write the documents of these things; one that is not to be found any more loses its document."""
    entries = {entry.ref: entry for entry in registry.sources()[kind].documents(ids)}
    there = {row.ref: row for row in FindDocument.objects.filter(kind=kind, ref__in=ids)}
    gone = [row.pk for ref, row in there.items() if ref not in entries]
    FindDocument.objects.filter(pk__in=gone).delete()
    rows = [_row(kind, entry) for entry in entries.values()]
    changed = [row for row in rows if not _same(row, there.get(row.ref))]
    FindDocument.objects.bulk_create(
        changed,
        batch_size=PORTION,
        update_conflicts=True,
        unique_fields=["kind", "ref"],
        update_fields=[*FIELDS, "way"],
    )
    words = {word for row in changed for field in FIELDS for word in getattr(row, field).split()}
    words = {word[:60] for word in words if len(word) > 2 and word != GAP}
    KnownWord.objects.bulk_create((KnownWord(word) for word in sorted(words)), ignore_conflicts=True)


def _row(kind: str, entry: registry.Entry) -> FindDocument:
    return FindDocument(kind=kind, ref=entry.ref, way=entry.way, **entry.fields)


def _same(row: FindDocument, other: FindDocument | None) -> bool:
    return other is not None and all(getattr(row, field) == getattr(other, field) for field in (*FIELDS, "way"))


def rebuild() -> int:
    """Every document, the words and the index, written anew; how many documents."""
    backend().ensure()
    backend().drop("find_index_")  # an index that disagrees with the documents can't follow them
    KnownWord.objects.all().delete()
    written = 0
    for kind, source in registry.sources().items():
        ids = sorted(source.ids())
        for start in range(0, len(ids), PORTION):
            write(kind=kind, ids=ids[start : start + PORTION])
        written += len(ids)
        _drop_strays(kind, set(ids))
    FindDocument.objects.exclude(kind__in=registry.sources()).delete()
    StaleDocument.objects.all().delete()
    backend().rebuild()
    return written


def _drop_strays(kind: str, ids: set[int]) -> None:
    strays = [pk for pk, ref in FindDocument.objects.filter(kind=kind).values_list("pk", "ref") if ref not in ids]
    for start in range(0, len(strays), PORTION):
        FindDocument.objects.filter(pk__in=strays[start : start + PORTION]).delete()


def check() -> list[str]:
    """What is wrong with what is searched, in words; nothing when all is right."""
    faults = backend().faults()
    stale = set(StaleDocument.objects.values_list("kind", "ref"))
    for kind, source in registry.sources().items():
        ids = sorted(source.ids())
        documents = {row.ref: row for row in FindDocument.objects.filter(kind=kind)}
        for start in range(0, len(ids), PORTION):
            for entry in source.documents(ids[start : start + PORTION]):
                row = documents.pop(entry.ref, None)
                if (kind, entry.ref) not in stale and not _same(_row(kind, entry), row):
                    faults.append(f"{kind} {entry.ref} is {'out of date' if row else 'missing'}")
        faults += [f"{kind} {ref} is not there any more" for ref in documents if (kind, ref) not in stale]
    return faults


def before_migrations(plan=(), **kwargs) -> None:
    """Triggers name tables that a migration may be about to rebuild: away with them until it is done."""
    if plan:
        backend().drop()


def after_migrations(**kwargs) -> None:
    """A migration may have dropped triggers with their table, and changed rows behind their back.

    Where somebody migrates only part of the way the triggers stay away, so that the rest finds this to do.
    """
    if not backend().ensure():
        return
    executor = MigrationExecutor(connection)
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        backend().drop()
    else:
        rebuild()
