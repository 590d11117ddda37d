"""The record of a build: everything it has, in the order a reader asks for it, with what is not ticked held back."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from django.db.models import Max, Q, Sum
from django.utils import timezone

from buildlog.builds.models import Build
from buildlog.tasks.models import Status, Task
from buildlog.worklog.models import Entry, WorkSession
from inventory.donors.models import Cost, Donor
from inventory.parts.actions import amount
from inventory.parts.models import Holding, Move
from inventory.photos.models import Photo

from . import drafts, holding, queries
from .told import Picture, Teller

PAPERS = "papers"  # ticked: pictures of the donors' papers, too
CHOSEN_PHOTOS, NO_PHOTOS = "chosen-photos", "no-photos"
NOTHING = Decimal(0)


@dataclass(frozen=True, slots=True)
class Night:
    number: int
    started: datetime
    ended: datetime | None
    minutes: int
    people: str
    lines: list[tuple]  # (kind, text, size, who, pictures)


@dataclass(frozen=True, slots=True)
class Fitted:
    """A kind of part on the build. nights: numbers of the nights it was logged in."""

    what: str
    quantity: str
    numbers: str
    condition: str
    origin: str
    when: datetime | None
    nights: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class DonorPapers:
    title: str
    number: str
    paperwork: str
    price: Decimal | None
    costs: list[tuple[str, Decimal]]
    papers: list[tuple[str, datetime, Picture | None]]


@dataclass(frozen=True, slots=True)
class Receipt:
    when: date
    what: str
    amount: Decimal


@dataclass
class Record:
    build: Build
    name: str
    goal: str
    number: str
    since: datetime
    nights: list[Night]
    tasks: list[tuple[str, list[tuple]]]  # area, [(title, finished, minutes)]
    fitted: list[Fitted]
    donors: list[DonorPapers]
    receipts: list[Receipt]
    measures: list[tuple]  # (when, night, label, size)
    decisions: list[tuple]  # (question, chosen, why, when, others)
    held: list

    @property
    def minutes(self) -> int:
        return sum(night.minutes for night in self.nights)

    @property
    def pictures(self) -> list[str]:
        of_nights = (picture for night in self.nights for line in night.lines for picture in line[4])
        of_papers = (paper[2] for donor in self.donors for paper in donor.papers if paper[2])
        return list(dict.fromkeys(picture.photo for picture in (*of_nights, *of_papers)))

    @property
    def paid(self) -> Decimal:
        return sum((one.amount for one in self.receipts), NOTHING)


def record(build: Build, keeps: Iterable[str]) -> Record:
    """A fixed number of statements, whatever its size."""
    keeps = frozenset(keeps)
    teller = Teller(keeps, holding.known(build), lambda photo: f"photo:{photo.pk.hex}")
    nights, measures, logged = _nights(build, teller, _photos_left(build, keeps))
    donors = _donors_of(build)
    return Record(
        build=build,
        name=teller.clean(build.name),
        goal=teller.clean(build.goal),
        number=build.number if "number" in keeps else "",
        since=nights[0].started if nights else build.created_at,
        nights=nights,
        tasks=_tasks(build, teller),
        fitted=_fitted(build, teller, logged),
        donors=_donors(donors, teller),
        receipts=_receipts(build, donors, teller) if "price" in keeps else [],
        measures=measures,
        decisions=_decisions(build, teller),
        held=teller.held,
    )


def _photos_left(build: Build, keeps: frozenset[str]) -> set:
    """Photos of the nights that do not go in: none of them, or those not chosen for some story, or all."""
    if not {CHOSEN_PHOTOS, NO_PHOTOS} & keeps:
        return set()
    every = Entry.objects.filter(session__build=build).exclude(photos=None).values_list("photos", flat=True)
    return set(every) - (queries.photos_told(build) if CHOSEN_PHOTOS in keeps else set())


def _nights(build: Build, teller: Teller, without: set) -> tuple[list[Night], list[tuple], dict[int, set[int]]]:
    """Also each measure, and the nights in which a part was logged."""
    by_session: dict[int, list[Entry]] = defaultdict(list)
    for entry in queries.with_facts(Entry.objects.filter(session__build=build).order_by("at", "pk")):
        by_session[entry.session_id].append(entry)
    nights, measures, logged = [], [], defaultdict(set)
    for session in WorkSession.objects.filter(build=build).prefetch_related("people").order_by("started_at", "pk"):
        lines = []
        for entry in by_session[session.pk]:
            said = teller.entry(entry, without=without)
            if said is None:
                continue
            lines.append((entry.kind, *said))
            if said[1]:
                measures.append((entry.at, session.number, said[0], said[1]))
            for move in entry.batch.moves.all() if entry.batch_id else ():
                logged[move.part_id].add(session.number)
        people = ", ".join(person.name for person in session.people.all()) if "person" in teller.keeps else ""
        minutes = int((session.ended_at - session.started_at).total_seconds() // 60) if session.ended_at else 0
        nights.append(Night(session.number, session.started_at, session.ended_at, minutes, people, lines))
    return nights, measures, logged


def _tasks(build: Build, teller: Teller) -> list[tuple[str, list[tuple]]]:
    done = Task.objects.of(build).filter(status=Status.DONE).select_related("area").in_order()
    if "private" not in teller.keeps:
        done = done.exclude(pk__in=queries.tasks_kept_out(build))
    by_area: dict[str, list[tuple]] = {}
    for task in done.annotate(minutes=Sum("times__minutes")):
        row = (teller.clean(task.title), task.finished_at, task.minutes or 0)
        by_area.setdefault(task.area.name if task.area else "Besides", []).append(row)
    return [(teller.clean(area), rows) for area, rows in by_area.items()]


def _fitted(build: Build, teller: Teller, logged: dict[int, set[int]]) -> list[Fitted]:
    held = Holding.objects.inside(build.vehicle).select_related("part__donor__donor", "part__pattern")
    total: dict = defaultdict(Decimal)
    for row in held.order_by("part__name", "part_id"):
        total[row.part] += row.quantity
    into = Move.objects.filter(target__path__within=build.vehicle.path, part__in=list(total), reversed_by=None)
    last = dict(into.order_by().values_list("part").annotate(last=Max("at")))
    return [
        Fitted(
            what=teller.clean(str(part)),
            quantity=amount(part, quantity),
            numbers=", ".join(part.number_list),
            condition=part.get_condition_display().lower(),
            origin=teller.clean(drafts.came_from(part, number="number" in teller.keeps)),
            when=last.get(part.pk),
            nights=tuple(sorted(logged[part.pk])),
        )
        for part, quantity in total.items()
    ]


def _donors_of(build: Build) -> list[Donor]:
    """Those that gave the build a part, or that its log speaks of taking apart; every one where there is one build."""
    donors = Donor.objects.with_place().prefetch_related("costs", "papers__photo").order_by("pk")
    if Build.objects.count() > 1:
        on_it = Holding.objects.inside(build.vehicle).exclude(part__donor=None).values("part__donor")
        logged = Entry.objects.filter(session__build=build).exclude(batch=None).values("batch")
        pulled = Move.objects.filter(batch__in=logged, reversed_by=None).exclude(source=None).values("source")
        donors = donors.filter(Q(location__in=on_it) | Q(location__in=pulled))
    return list(donors)


def _donors(donors: list[Donor], teller: Teller) -> list[DonorPapers]:
    found = []
    for donor in donors:
        price = "price" in teller.keeps
        papers = [
            (teller.clean(paper.what), paper.at, teller.picture(paper.photo) if PAPERS in teller.keeps else None)
            for paper in donor.papers.all() if not paper.removed_at
        ]  # fmt: skip
        costs = [(teller.clean(cost.what), cost.amount) for cost in donor.costs.all() if not cost.removed_at]
        found.append(
            DonorPapers(
                title=teller.clean(donor.location.title),
                number=donor.number if "number" in teller.keeps else "",
                paperwork=teller.clean(donor.paperwork),
                price=donor.price if price else None,
                costs=costs if price else [],
                papers=papers,
            )
        )
    return found


def _receipts(build: Build, donors: list[Donor], teller: Teller) -> list[Receipt]:
    """What was paid: the donors, what came with them, and the parts that are on the build."""
    rows = [
        Receipt(donor.bought_on or _day(donor.added_at), f"Donor: {teller.clean(donor.location.title)}", donor.price)
        for donor in donors if donor.price
    ]  # fmt: skip
    for cost in Cost.objects.filter(removed_at=None, donor__in=donors).select_related("donor__location"):
        rows.append(Receipt(cost.on, teller.clean(f"{cost.donor.location.title}: {cost.what}"), cost.amount))
    on_it = Holding.objects.inside(build.vehicle).values("part")
    bought = Move.objects.filter(part__in=on_it, source=None, reversed_by=None, reverses=None).exclude(cost=None)
    for move in bought.select_related("part"):
        rows.append(Receipt(_day(move.at), teller.clean(f"{amount(move.part, move.quantity)} {move.part}"), move.cost))
    return sorted(rows, key=lambda row: row.when)


def _day(moment: datetime) -> date:
    return timezone.localtime(moment).date()


def _decisions(build: Build, teller: Teller) -> list[tuple]:
    rows = []
    for one in queries.decided(build, with_private="private" in teller.keeps):
        others = [teller.clean(option.name) for option in one.options.all() if option.pk != one.chosen_id]
        chosen, why = teller.clean(one.chosen.name), teller.clean(one.why)
        rows.append((teller.clean(one.question), chosen, why, one.chosen_at, ", ".join(others)))
    return rows


def cover(build: Build, keeps: frozenset[str]) -> Photo | None:
    """The newest picture of the vehicle itself that may be shown."""
    photos = Photo.objects.kept().filter(location=build.vehicle)
    return (photos if "private" in keeps else photos.filter(public=True)).in_order().first()
