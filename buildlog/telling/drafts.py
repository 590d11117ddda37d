"""The words a story begins with, all from the log: nothing is invented, nothing kept out of public is used.

Each draft is worked out anew as long as nobody has written words of their own in its place, so that a line kept out of
public, or a price put right, is out of it or right in it at once.
"""

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from django.db.models import Q

from buildlog.decisions.models import Decision
from buildlog.tasks.models import Status
from buildlog.worklog.models import Entry, Happened, Kind, TaskTime, WorkSession
from inventory.parts.actions import amount
from inventory.parts.models import Move, Origin, Part
from inventory.templatetags.gusset import money

from . import queries
from .models import Piece, Story, Takes

OPENING, CLOSING = ("plan", "done"), ("measured", "parts", "snags", "decisions", "next", "hours", "cost")
TITLES = {
    "plan": "The plan", "done": "What was done", "measured": "Measured and made", "parts": "Parts used",
    "snags": "Snags", "decisions": "Decided", "next": "What is next", "hours": "Hours", "cost": "What it cost",
}  # fmt: skip
ORIGIN_WORDS = {Origin.BOUGHT: "bought", Origin.MADE: "made here", Origin.PULLED: "pulled", Origin.FOUND: "found"}
INTO_IT = (Happened.FITTED, Happened.USED, Happened.TOOK)


@dataclass(frozen=True)
class Source:
    """What drafts are made from: the told lines that are for the public."""

    story: Story
    entries: tuple[Entry, ...]
    keeps: frozenset[str]

    @cached_property
    def sessions(self) -> list[WorkSession]:
        found = {entry.session_id: entry.session for entry in self.entries}
        return sorted(found.values(), key=lambda session: session.started_at)

    @cached_property
    def times(self) -> list[TaskTime]:
        return [time for time in queries.times_of(self.story, self.sessions) if time.task_id not in self.hidden]

    @cached_property
    def hidden(self) -> set[int]:
        """Tasks that only lines kept out of public speak of in these nights: not even their names are told."""
        return queries.tasks_kept_out(self.story.build, self.sessions) - {entry.task_id for entry in self.entries}

    @cached_property
    def moves(self) -> list[tuple[Entry, Move]]:
        parts = [entry for entry in self.entries if entry.batch_id and not entry.taken_back]
        return [(entry, move) for entry in parts for move in entry.batch.moves.all()]


def source(story: Story, rows: list[Piece]) -> Source:
    told = [row.entry for row in rows if row.entry and not row.left_out]
    public = (entry for entry in told if not (entry.private or entry.struck_at or entry.taken_back))
    return Source(story, tuple(sorted(public, key=lambda entry: (entry.at, entry.pk))), story.keeps)


def words(key: str, given: Source) -> str:
    """What the program writes in a piece of this key; '' when there is nothing to say."""
    return WRITERS[key](given)


def _plan(given: Source) -> str:
    if given.story.takes == Takes.TASK and given.story.task and given.story.task.detail:
        return given.story.task.detail.strip()
    if not given.sessions:
        return ""
    earlier = queries.before(given.sessions[0])
    return earlier.stopping_point.strip() if earlier and not _kept_from([earlier]) else ""


def _done(given: Source) -> str:
    """Per area: what was finished, and what was worked on, with its hours."""
    minutes: dict = defaultdict(int)
    tasks = {time.task_id: time.task for time in given.times}
    for time in given.times:
        minutes[time.task_id] += time.minutes
    finished = {entry.task_id for entry in given.entries if entry.kind == Kind.TASK and "Finished" in entry.says}
    tasks |= {entry.task_id: entry.task for entry in given.entries if entry.task_id in finished and entry.task}
    by_area: dict[str, list[str]] = defaultdict(list)
    for number, task in tasks.items():
        done = number in finished or task.status == Status.DONE and given.story.takes == Takes.TASK
        spent = f", {spent_said(minutes[number])}" if minutes[number] else ""
        by_area[task.area.name if task.area else ""].append(f"{task.title}{', finished' if done else ''}{spent}")
    if not by_area:
        return "\n".join(filter(None, (session.done.strip() for session in given.sessions))) if _whole(given) else ""
    lines = []
    for area, some in by_area.items():
        lines += [f"{area or 'Besides'}:", *(f"- {line}" for line in some)]
    return "\n".join(lines)


def spent_said(minutes: int) -> str:
    """'48 min', '1 h 52 min', '2 h'."""
    hours, rest = divmod(minutes, 60)
    return " ".join(filter(None, (f"{hours} h" if hours else "", f"{rest} min" if rest or not hours else "")))


def _whole(given: Source) -> bool:
    """Whether what was said of a whole night may be told: it was about whole nights, and none has a line kept out."""
    if given.story.takes not in (Takes.NIGHTS, Takes.DATES):
        return False
    return not _kept_from(given.sessions)


def _kept_from(sessions: list[WorkSession]) -> bool:
    """Whether something of these nights is kept out of public: what was said at their end may repeat it."""
    return Entry.objects.filter(session__in=sessions, private=True).exists()


def _measured(given: Source) -> str:
    lines = []
    for entry in given.entries:
        if reading := entry.reading:
            line = f"{reading.label}: {reading.own}" if reading.label else reading.words
            lines.append("- " + ", ".join(filter(None, (f"{line} ({reading.other})", reading.known))))
    for entry, move in given.moves:
        if entry.happened == Happened.MADE:
            after = f", after the old {move.part.pattern}" if move.part.pattern else ""
            lines.append(f"- Made {amount(move.part, move.quantity)} {move.part}{after}")
    return "\n".join(dict.fromkeys(lines))


def came_from(part: Part, *, number: bool = False) -> str:
    """'bought', 'made here after the old one', 'pulled from Halvard 20 pickup'."""
    says = ORIGIN_WORDS[part.origin]
    if part.donor:
        says = f"pulled from {part.donor.title}"
        donor = getattr(part.donor, "donor", None)
        if number and donor and donor.number:
            says += f", number {donor.number}"
    elif part.pattern:
        says += " after the old one"
    return says


def _parts(given: Source) -> str:
    total: dict[Part, Decimal] = defaultdict(Decimal)
    for entry, move in given.moves:
        if entry.happened in INTO_IT:
            total[move.part] += move.quantity
        elif entry.happened == Happened.BACK:
            total[move.part] -= move.quantity
    number = "number" in given.keeps
    return "\n".join(
        f"- {amount(part, quantity)} {part}: {came_from(part, number=number)}"
        for part, quantity in total.items() if quantity > 0
    )  # fmt: skip


def _snags(given: Source) -> str:
    snags = [entry for entry in given.entries if entry.kind == Kind.SNAG and entry.text.strip()]
    return "\n".join(
        f"- {entry.text.strip()}" + (" It became a task of its own." if entry.became_id else "") for entry in snags
    )


def decided(given: Source) -> list[Decision]:
    """Decisions taken in the told nights, as far as they are about the story."""
    story = given.story
    if story.takes == Takes.DONOR:
        return []
    chosen = queries.decided_in(story.build, given.sessions)
    if story.takes == Takes.AREA:
        about = Q(area=story.area_id) | Q(tasks__area=story.area_id)
    elif story.takes == Takes.TASK:
        about = Q(tasks=story.task_id)
    else:
        return chosen
    kept = set(Decision.objects.filter(about, pk__in=[one.pk for one in chosen]).values_list("pk", flat=True))
    return [one for one in chosen if one.pk in kept]


def _decisions(given: Source) -> str:
    lines = []
    for decision in decided(given):
        others = [option for option in decision.options.all() if option.pk != decision.chosen_id]
        line = f"- {decision.question} {decision.chosen}."
        if decision.why:
            line += f" {decision.why.rstrip('.')}."
        if others:
            against = [f"{one.name} ({one.speaks_against})" if one.speaks_against else one.name for one in others]
            line += f" Not taken: {'; '.join(against)}."
        lines.append(line)
    return "\n".join(lines)


def sources(given: Source) -> list[str]:
    """Where the ideas came from that were taken up."""
    chosen = [decision.chosen for decision in decided(given)]
    said = (", ".join(filter(None, (one.came_from, one.link))) for one in chosen)
    return [f"{one.name}: {words}" for one, words in zip(chosen, said, strict=True) if words]


def _next(given: Source) -> str:
    if given.story.takes not in (Takes.NIGHTS, Takes.DATES) or not given.sessions or _kept_from(given.sessions[-1:]):
        return ""
    return given.sessions[-1].stopping_point.strip()


def _hours(given: Source) -> str:
    nights = given.sessions
    if not nights:
        return ""
    if given.story.takes in (Takes.NIGHTS, Takes.DATES):
        ended = [night for night in nights if night.ended_at]
        total = sum(int(night.length.total_seconds() // 60) for night in ended)
    else:
        total = sum(time.minutes for time in given.times)
    if not total:
        return ""
    return f"{spent_said(total)} in {len(nights)} night{'' if len(nights) == 1 else 's'}."


def _cost(given: Source) -> str:
    """Only of what the told lines moved; a part that was paid for earlier is not in it."""
    if "price" not in given.keeps:
        return ""
    total = sum((move.cost for _, move in given.moves if move.cost), Decimal(0))
    return f"{money(total)} for parts that came in." if total else ""


WRITERS: dict[str, Callable[[Source], str]] = {
    "plan": _plan, "done": _done, "measured": _measured, "parts": _parts, "snags": _snags, "decisions": _decisions,
    "next": _next, "hours": _hours, "cost": _cost,
}  # fmt: skip
