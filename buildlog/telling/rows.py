"""Sessions and entries as plain rows: of a story, with everything held back; and of the whole log, for oneself."""

from collections.abc import Iterator

from buildlog.builds.models import Build
from buildlog.worklog.models import Entry
from inventory.parts.models import Move

from .calc.atom import stamp
from .told import Heading, Line, Told

STORY = ("At", "Under", "Kind", "Text", "Measure", "Who", "Pictures")
LOG = ("Session", "Started", "Ended", "People", "At", "Who", "Kind", "Area", "Task", "Text", "Says", "Measured",
       "Happened", "Part", "Quantity", "Clip", "From", "To", "Private", "Struck", "Photos", "Uid")  # fmt: skip


def of_story(told: Told) -> Iterator[tuple]:
    under = ""
    for block in told.blocks:
        if isinstance(block, Heading):
            under = block.text
        elif isinstance(block, Line):
            names = " ".join(picture.name for picture in block.pictures)
            yield (stamp(block.at), under, block.kind, block.text, block.size, block.who, names)


def of_log(build: Build) -> Iterator[tuple]:
    """Everything, crossed out and private lines too; times in UTC."""
    entries = (
        Entry.objects.filter(session__build=build)
        .select_related("session", "by", "task__area")
        .prefetch_related("photos", "session__people", "batch__moves__part")
        .order_by("session__started_at", "at", "pk")
    )
    for entry in entries.iterator(chunk_size=500):
        session = entry.session
        moves: list[Move] = list(entry.batch.moves.all()) if entry.batch_id else []
        area = entry.task.area if entry.task else None
        yield (
            session.number, stamp(session.started_at), stamp(session.ended_at) if session.ended_at else "",
            ", ".join(person.name for person in session.people.all()), stamp(entry.at),
            entry.by.name if entry.by else "", entry.kind, area.name if area else "",
            entry.task.title if entry.task else "", entry.text, entry.says, entry.measured, entry.happened,
            ", ".join(str(move.part) for move in moves), ", ".join(f"{move.quantity.normalize():f}" for move in moves),
            entry.clip, entry.clip_in, entry.clip_out, "yes" if entry.private else "", "yes" if entry.struck_at else "",
            " ".join(photo.pk.hex for photo in entry.photos.all()), str(entry.uid),
        )  # fmt: skip
