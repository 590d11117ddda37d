"""A spreadsheet, from its bytes to the ledger, beside executemany of the same rows into the same tables."""

from django.db import connection, transaction

from inventory.importing.actions import import_rows
from inventory.importing.calc.columns import guess_columns
from inventory.importing.calc.rows import read_rows
from inventory.importing.reading import read_file
from inventory.places.models import Location

from .rows import Row, row, side_by_side

ROWS = 5_000


@row("import")
def spreadsheet(shop):
    """The floor plays back the writes that ours made, ready as they are: nothing is read, matched or planned.

    Each turn is rolled back, so that the shop stays what it was; both pay for that alike.
    """
    data = _file()

    def ours():
        table = read_file(data).table
        readings = read_rows(table, [column.field for column in guess_columns(table)])
        with transaction.atomic():
            brought = import_rows(readings=readings, name="bench.csv", by=shop.owner)
            assert brought.counts["put_in"] == ROWS
            transaction.set_rollback(True)

    writes = _writes_of(ours)

    def floor():
        with transaction.atomic(), connection.cursor() as cursor:
            for sql, rows in writes:
                cursor.executemany(sql, rows)
            transaction.set_rollback(True)

    ms, bare = side_by_side(ours, floor, rounds=5)
    yield Row(f"import into {shop.parts:,} parts, rows/s", ROWS * 1000 / ms, ROWS * 1000 / bare, 10, speed=True)


def _file() -> bytes:
    places = list(Location.objects.filter(kind="bin").values_list("address", flat=True)[:200])
    lines = [
        f"Hinge pin size {number};4-{number:05};{number % 9 + 1} pcs;{places[number % len(places)]};good"
        for number in range(ROWS)
    ]
    return "\n".join(["Part;Part no;Qty;Where;Condition", *lines]).encode()


def _writes_of(call) -> list[tuple[str, list]]:
    """What it sent to the database by executemany: parts, holdings, moves and the memory of the rows."""
    writes = []

    def keep(execute, sql, params, many, context):
        if many:
            writes.append((sql, list(params)))
        return execute(sql, params, many, context)

    with connection.execute_wrapper(keep):
        call()
    return [("INSERT INTO inventory_batch (id, what, at) VALUES (%s, '', '')", [(_batch_of(writes),)]), *writes]


def _batch_of(writes) -> str:
    """The moves name their batch, which was written by itself."""
    sql, rows = next((sql, rows) for sql, rows in writes if "inventory_move" in sql)
    columns = sql.partition("(")[2].partition(")")[0].replace('"', "").split(", ")
    return rows[0][columns.index("batch_id")]
