"""The part of finding that differs between databases, behind one small set of questions.

A backend answers:
    candidates(asked, scope, limit)   ids of documents that meet the query at one level of strictness
    documents(ids)                the documents themselves, as the ranking reads them
    known(words, last)                which of these strings are words of the shop, or begin one
    ensure() / drop()                 make what Django's migrations don't (index, triggers), take it away
    rebuild()                         the index anew from the documents
    faults()                          what is wrong with the index, in words

PostgreSQL would answer the same with a GIN index of pg_trgm over the same columns: ' form' becomes LIKE '% form%'.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from django.core.exceptions import ImproperlyConfigured
from django.db import DatabaseError, connection, transaction

from .calc.query import Query, Word
from .calc.rank import FIELDS, START, WHOLE, Document
from .registry import Watch, watches

DOCUMENTS, STALE, WORDS, INDEX = (
    "inventory_finddocument",
    "inventory_staledocument",
    "inventory_knownword",
    "inventory_findindex",
)
BEGINS, ANY = -1, 9  # besides WHOLE and START: the field begins so; met in any way at all


@dataclass(frozen=True, slots=True)
class Scope:
    """Which documents count at all: SQL over the document d, and its parameters. Empty means all."""

    where: str = ""
    params: tuple = ()


@dataclass(frozen=True, slots=True)
class Asked:
    """A query, the fields it may be met in, and how strictly."""

    query: Query
    fields: tuple[str, ...] = FIELDS
    how: int = ANY


class SQLite:
    """FTS5 with trigrams. Fields stand between spaces, so ' pum' is three letters and two-letter starts are found."""

    def candidates(self, asked: Asked, scope: Scope, limit: int) -> list[int]:
        if asked.how == BEGINS and asked.fields == ("code",):
            return self._just_that_code(asked, scope, limit)
        match = _match(asked)
        if not match:
            return self._one_letter(asked, scope, limit)
        sql = f"SELECT f.rowid FROM {INDEX} f"  # noqa: S608, names are ours
        if scope.where:
            sql += f" JOIN {DOCUMENTS} d ON d.id = f.rowid"
        sql += f" WHERE f.{INDEX} MATCH %s"
        if scope.where:
            sql += f" AND ({scope.where})"
        return _column(f"{sql} LIMIT %s", (match, *scope.params, limit))

    def _just_that_code(self, asked: Asked, scope: Scope, limit: int) -> list[int]:
        """Documents whose code is just what was typed, by the plain index: trigrams would go through every name."""
        found: list[int] = []
        typed = [*asked.query.words[0].forms, asked.query.whole] if asked.query.words else []
        for start in dict.fromkeys(f" {form} " for form in typed if form):
            found += self._between("code", start, scope, limit)
        return found

    def _one_letter(self, asked: Asked, scope: Scope, limit: int) -> list[int]:
        """Too short for trigrams: what has the letter as a word, or begins with it, by the plain indexes."""
        if not asked.query.words:
            return []
        if asked.how == ANY:
            whole = Asked(asked.query, asked.fields, WHOLE)
            return list(dict.fromkeys(self.candidates(whole, scope, limit) + self._begun(asked, scope, limit)))[:limit]
        return self._begun(asked, scope, limit)

    def _begun(self, asked: Asked, scope: Scope, limit: int) -> list[int]:
        start = f" {asked.query.words[0].forms[0]}"
        return self._between("code", start, scope, limit) + self._between("name", start, scope, limit)

    def _between(self, field: str, start: str, scope: Scope, limit: int) -> list[int]:
        """Documents whose field begins so, in order."""
        sql = f"SELECT d.id FROM {DOCUMENTS} d WHERE d.{field} >= %s AND d.{field} < %s"  # noqa: S608
        sql += f" AND ({scope.where})" if scope.where else ""
        return _column(f"{sql} ORDER BY d.{field} LIMIT %s", (start, start + "\U0010ffff", *scope.params, limit))

    def documents(self, ids: Sequence[int]) -> list[Document]:
        """The documents themselves, as the ranking reads them."""
        if not ids:
            return []
        marks = ", ".join(["%s"] * len(ids))
        with connection.cursor() as cursor:
            cursor.execute(f"SELECT kind, ref, {_COLUMNS} FROM {DOCUMENTS} WHERE id IN ({marks})", ids)  # noqa: S608
            return [Document(*row) for row in cursor.fetchall()]

    def known(self, words: list[str], last: bool, limit: int = 8) -> list[str]:
        if not words:
            return []
        values = ", ".join(["(%s)"] * len(words))
        meets = "w.word >= e.column1 AND w.word < e.column1 || '\U0010ffff'" if last else "w.word = e.column1"
        sql = f"SELECT DISTINCT w.word FROM (VALUES {values}) e JOIN {WORDS} w ON {meets} LIMIT %s"  # noqa: S608
        return _column(sql, (*words, limit))

    def ensure(self) -> bool:
        """Makes what is missing; True where the index can't be trusted and must be built anew."""
        with connection.cursor() as cursor:
            cursor.execute("SELECT name, sql FROM sqlite_master WHERE type IN ('table', 'trigger')")
            there = dict(cursor.fetchall())
            if DOCUMENTS not in there:
                return False  # migrated only part of the way
            wanted = {INDEX: _INDEX, **_index_triggers(), **_watch_triggers(set(there))}
            for name in [name for name in there if name.startswith("find_") and there[name] != wanted.get(name)]:
                cursor.execute(f'DROP TRIGGER "{name}"')
                del there[name]
            missing = [name for name in wanted if name not in there]
            for name in missing:
                cursor.execute(wanted[name])
        return bool(missing)

    def drop(self, begins: str = "find_") -> None:
        """Away with the triggers: while a migration rebuilds a table, a trigger that names it stops the migration.

        `find_index_`: only those by which the index follows the documents.
        """
        names = _column("SELECT name FROM sqlite_master WHERE type = 'trigger'", ())
        with connection.cursor() as cursor:
            for name in names:
                if name.startswith(begins):
                    cursor.execute(f'DROP TRIGGER "{name}"')

    def rebuild(self) -> None:
        """The index anew from the documents, and its triggers back, in one step."""
        with transaction.atomic(), connection.cursor() as cursor:
            self.ensure()
            cursor.execute(f"INSERT INTO {INDEX}({INDEX}) VALUES ('rebuild')")  # noqa: S608
            cursor.execute(f"INSERT INTO {INDEX}({INDEX}) VALUES ('optimize')")  # noqa: S608

    def faults(self) -> list[str]:
        there = set(_column("SELECT name FROM sqlite_master WHERE type IN ('table', 'trigger')", ()))
        wanted = {INDEX, *_index_triggers(), *_watch_triggers(there)}
        found = [f"{name} is missing" for name in sorted(wanted - there)]
        if INDEX in there:
            try:
                with transaction.atomic(), connection.cursor() as cursor:
                    cursor.execute(f"INSERT INTO {INDEX}({INDEX}, rank) VALUES ('integrity-check', 1)")  # noqa: S608
            except DatabaseError:
                found.append("the index does not agree with the documents")
        return found


@cache
def backend() -> SQLite:
    """The backend of the database in use."""
    if connection.vendor != "sqlite":
        raise ImproperlyConfigured(
            f"Finding has no backend for {connection.vendor} yet; inventory/finding/backends.py says what one answers."
        )
    return SQLite()


def _column(sql: str, params) -> list:
    with connection.cursor() as cursor:
        cursor.execute(sql, params)
        return [row[0] for row in cursor.fetchall()]


def _quoted(text: str) -> str:
    return '"' + text.replace('"', '""') + '"'


def _met(word: Word, how: int) -> str:
    """One word as an FTS5 expression, '' where it is too short to be looked up."""
    if how == WHOLE:
        found = [f" {form} " for form in word.forms]
    elif how == START:
        found = [f" {form}" for form in word.forms] + [f" {form} " for form in word.forms if len(form) == 1]
    else:
        found = [form if len(form) > 2 else f" {form}" for form in word.forms]
    found += [f" {other} " for other in (*word.alike, *word.slips)]
    found = [text for text in found if len(text) > 2]
    # A single letter alone could begin any word: left to the ranking, unless nothing else is asked.
    if how != WHOLE and all(len(form) < 2 for form in word.forms):
        return ""
    return " OR ".join(map(_quoted, dict.fromkeys(found)))


def _match(asked: Asked) -> str:
    """The whole query as an FTS5 expression."""
    fields = "" if asked.fields == FIELDS else "{" + " ".join(asked.fields) + "} : "
    how = WHOLE if asked.how == BEGINS else asked.how
    clauses = [f"{fields}({met})" for word in asked.query.words if (met := _met(word, how))]
    if asked.how == BEGINS and clauses:
        clauses.insert(0, f"{asked.fields[0]} : ^{_quoted(f' {asked.query.words[0].forms[0]} ')}")
    match = " AND ".join(clauses)
    if asked.query.whole and asked.how in (ANY, WHOLE):
        tight = _quoted(f" {asked.query.whole}")
        match = f"({match}) OR {{code numbers}} : {tight}" if match else f"{{code numbers}} : {tight}"
    return match


_COLUMNS = ", ".join(FIELDS)
_INDEX = (
    f"CREATE VIRTUAL TABLE {INDEX} USING fts5({_COLUMNS}, content='{DOCUMENTS}', content_rowid='id', "
    "tokenize='trigram')"
)


def _index_triggers() -> dict[str, str]:
    """The index follows the documents."""
    new = ", ".join(f"NEW.{field}" for field in FIELDS)
    old = ", ".join(f"OLD.{field}" for field in FIELDS)
    add = f"INSERT INTO {INDEX}(rowid, {_COLUMNS}) VALUES (NEW.id, {new});"  # noqa: S608
    take = f"INSERT INTO {INDEX}({INDEX}, rowid, {_COLUMNS}) VALUES ('delete', OLD.id, {old});"  # noqa: S608
    bodies = {"INSERT": add, "DELETE": take, "UPDATE": f"{take} {add}"}
    return {
        f"find_index_{on.lower()}": f"CREATE TRIGGER find_index_{on.lower()} AFTER {on} ON {DOCUMENTS} BEGIN {body} END"
        for on, body in bodies.items()
    }


def _watch_triggers(tables: set[str]) -> dict[str, str]:
    """What changes is marked stale. A table that is not there (yet) has nothing to watch."""
    found = {}
    for number, watch in enumerate(watches()):
        if watch.table not in tables:
            continue
        name = f"find_watch_{number}_{watch.table}"
        found[name] = _watch_trigger(name, watch)
    return found


def _watch_trigger(name: str, watch: Watch) -> str:
    when = f" WHEN {watch.when}" if watch.when else ""
    return (
        f"CREATE TRIGGER {name} AFTER {watch.on} ON {watch.table}{when} BEGIN "  # noqa: S608
        f"INSERT OR IGNORE INTO {STALE}(kind, ref) {watch.marks}; END"
    )
