"""Lines of the log as things that can be found."""

from collections.abc import Collection, Iterable

from buildlog.worklog.models import Entry
from inventory.finding.calc.rank import field_text
from inventory.finding.registry import Entry as Document
from inventory.finding.registry import Source, Watch

KIND = "worklog"  # after parts, places and tasks where all else is equal
_ENTRY = "buildlog_entry"


def documents(ids: Collection[int]) -> Iterable[Document]:
    """By what was written, not by its task: else each line of a task were an answer too. Struck ones are left out."""
    rows = Entry.objects.filter(pk__in=ids, struck_at=None).order_by()
    for number, text, says in rows.values_list("pk", "text", "says"):
        yield Document(number, {"notes": field_text(text, says)})


def cards(ids: Collection[int]) -> dict[int, Entry]:
    return Entry.objects.select_related("session", "task").in_bulk(ids)


LINES = Source(
    kind=KIND,
    ids=lambda: Entry.objects.filter(struck_at=None).order_by().values_list("pk", flat=True),
    documents=documents,
    cards=cards,
    template="buildlog/lookback/found.html",
    listing=("Look in the log alone", "buildlog:log"),
    watches=(
        Watch(_ENTRY, "INSERT", f"SELECT '{KIND}', NEW.id"),
        Watch(_ENTRY, "DELETE", f"SELECT '{KIND}', OLD.id"),
        Watch(_ENTRY, "UPDATE OF text, says, struck_at", f"SELECT '{KIND}', NEW.id"),
    ),
)
