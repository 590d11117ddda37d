"""Example nights: what was written down while the bakery van was worked on, over the last ten weeks."""

from dataclasses import dataclass
from datetime import datetime, time, timedelta
from decimal import Decimal

from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from buildlog.builds.models import Build
from buildlog.measures.calc.reading import find
from buildlog.tasks.demo import CODE
from buildlog.tasks.models import Task
from inventory.demo.models import DemoThing
from inventory.parts.models import Holding
from inventory.people.models import Person
from inventory.photos import actions as photos
from inventory.photos.models import Photo

from . import actions, actions_parts
from .demo_pictures import draw
from .models import Entry, Happened, Kind, WorkSession


@dataclass(frozen=True, slots=True)
class Night:
    """ago: days. lines: 'minutes after the start | kind | task | text | picture'. first: what first, next time."""

    ago: int
    began: str
    minutes: int
    lines: str
    first: str


HATCH, STRIP, SILL, TUBES = (
    "Straighten hatch frame", "Strip hatch skin to metal", "Cut out rotten sill, left", "Cut frame tubes to length",
)  # fmt: skip
STRUTS, CARB, HINGES = "Fit gas strut brackets", "Rebuild the carburettor", "Weld hatch hinges"
M8 = "M8×25 hex bolt, 8.8 zinc"

NIGHTS = (
    Night(68, "19:40", 150, f"""
        35 | note | {STRIP} | Wire wheel takes the old cream off in long strips. Mask on, doors open.
        140 | note | {STRIP} | Lower third is bare. Pitted along the seam but not through.""",
          "Upper two thirds of the skin, then the inside of the lip."),
    Night(65, "20:05", 125, f"""
        60 | note | {STRIP} | Lip done with a hand scraper, the wheel does not reach.
        118 | measure | {STRIP} | skin thickness 0.9 mm""", "Look at the frame with the skin off it."),
    Night(61, "19:30", 165, f"""
        40 | measure | {HATCH} | diagonals 1538 x 1551 mm
        95 | note | {HATCH} | Out of square by 13. Pulled it with the long clamp, corner to corner, warm.
        160 | measure | {HATCH} | diagonals 1544 x 1545 mm""", "Frame is true to 1 mm. Brace it before anything else."),
    Night(58, "21:10", 80, f"""
        70 | note | {HATCH} | Two braces tacked in. They stay until the hinges are on.""", "Start on the sill, left."),
    Night(54, "19:45", 180, f"""
        50 | note | {SILL} | Tank is out and away, hollow checked. Fire watch set up. | sill
        130 | snag | {SILL} | Inner flange is gone for a hand’s width behind the wheel arch
        175 | note | {SILL} | Cut along the second spot weld row, 4 to go.""",
          "Last four spot welds, drill from below."),
    Night(51, "19:20", 155, f"""
        70 | measure | {SILL} | old sill 62,5 x 110 mm
        150 | note | {SILL} | Old sill is off in one piece. Keep it as the pattern.""", "Clean up the edges left."),
    Night(44, "20:30", 95, f"""
        90 | note | {SILL} | Edges ground and primed with weld-through.""", "Order tube for the oven bay."),
    Night(40, "19:50", 140, """
        60 | note | | Swept the barn, moved the Corvane bits into the container.
        130 | note | | Found the second counter bracket behind rack L.""",
          "Tube arrives Thursday: cut list is on the wall."),
    Night(33, "19:35", 170, f"""
        45 | measure | {TUBES} | oven bay 36 1/4 x 28 5/8
        150 | note | {TUBES} | Uprights cut and squared. | tubes""", "Cross tubes, four at 690."),
    Night(30, "20:15", 110, f"""
        100 | note | {TUBES} | Four cross tubes done, one is 2 short and goes to the rack.""", "Two diagonals."),
    Night(23, "19:40", 145, f"""
        40 | note | {CARB} | Stripped and laid out in order. | carburettor
        90 | measure | {CARB} | main jet 1.25 mm
        140 | snag | {CARB} | Float has a pinhole, hear it when shaken""", "Solder the float or find one on a donor."),
    Night(19, "21:00", 70, f"""
        65 | note | {CARB} | Float soldered, sat in hot water for ten minutes, no bubbles.""",
          "New gasket from the sheet."),
    Night(12, "19:25", 190, f"""
        60 | note | {HINGES} | Old hinge pin is worn oval. Only good as a pattern. | hinge
        110 | measure | {HINGES} | pin 0.498 x 0.471 in
        185 | note | {HINGES} | New leaves bolted up dry on both sides.""", "Check that both leaves swing free."),
    Night(9, "20:00", 120, f"""
        50 | measure | {HINGES} | hatch opening 43 5/16 x 43 3/16
        112 | note | {HINGES} | Left leaf binds in the last 20 degrees. Right is free.""",
          "Try a 1 mm shim under the left leaf before the last pass."),
    Night(5, "19:50", 135, f"""
        55 | note | {CARB} | Gasket cut, jets blown through. Waits for the float needle.
        128 | note | {TUBES} | Diagonals marked.""", "Cut the diagonals, then the struts."),
    Night(3, "19:30", 175, f"""
        70 | note | {TUBES} | Both diagonals cut. That is all the tube work. | tubes
        80 | part | {STRUTS} | 2 | {M8}
        165 | note | {STRUTS} | Left bracket drilled and bolted up dry.""", "Second bracket, right."),
    Night(2, "20:10", 160, f"""
        40 | note | {STRUTS} | Right bracket marked off the left one with a card template.
        95 | measure | {STRUTS} | bracket to hinge line 411 mm
        150 | snag | {STRUTS} | Brace is in the way of the right strut at full travel""",
          "Hatch hinges bolted up dry, left one binds. Try a 1 mm shim under the left leaf, then move the brace."),
)  # fmt: skip
HOW = {"main jet": "caliper", "pin": "caliper", "skin": "caliper"}


@transaction.atomic
def load(owner: Person | None) -> None:
    """Adds the nights to the example build."""
    build = Build.objects.coded(CODE).first()
    if build is None or build.sessions.exists():
        return
    tasks = {task.title: task for task in build.tasks.all()}
    last = None
    for night in NIGHTS:
        last = _night(build, tasks, night, owner)
    bench = photos.add(data=draw("bench"), by=owner, name="bench.jpg", taken_at=last.ended_at)
    WorkSession.objects.filter(pk=last.pk).update(bench_photo=bench)


def _night(build: Build, tasks: dict[str, Task], night: Night, owner: Person | None) -> WorkSession:
    day = timezone.localdate() - timedelta(days=night.ago)
    began = timezone.make_aware(datetime.combine(day, time.fromisoformat(night.began)))
    session = actions.start(build=build, by=owner, at=began)
    spent: dict[Task, int] = {}
    before = 0
    for line in filter(None, map(str.strip, night.lines.splitlines())):
        after, kind, title, text, *more = (piece.strip() for piece in line.split("|"))
        task = tasks.get(title)
        _line(session, kind, task, text, more, began + timedelta(minutes=int(after)), owner)
        if task:
            spent[task] = spent.get(task, 0) + int(after) - before
        before = int(after)
    if spent:
        spent[task or next(iter(spent))] += night.minutes - before
    done = "\n".join(str(entry) for entry in session.entries.order_by("at"))
    ended = began + timedelta(minutes=night.minutes)
    actions.stop(session=session, at=ended, done=done, stopping_point=night.first, minutes=spent)
    return session


def _line(session, kind, task, text, more, at, owner) -> None:
    common = {"by": owner, "at": at, "task": task}
    if kind == Kind.PART:
        quantity, name = Decimal(text), more[0]
        held = (
            Holding.objects.filter(part__name=name, quantity__gte=quantity).select_related("part", "location").first()
        )
        if held:
            actions_parts.log_part(
                session=session, build=session.build, part=held.part, quantity=quantity, happened=Happened.USED,
                source=held.location, **common,
            )  # fmt: skip
        return
    pictures = [photos.add(data=draw(motif), by=owner, name=f"{motif}.jpg", taken_at=at) for motif in more]
    measure = {}
    if kind == Kind.MEASURE:
        measured = find(text, "mm").typed
        how = next((how for word, how in HOW.items() if text.startswith(word)), "tape")
        measure = {"measured": measured, "unit": "mm", "how": how}
    actions.log(session=session, kind=kind, text=text, photos=pictures, **measure, **common)


@transaction.atomic
def remove() -> None:
    """Takes the pictures of the nights away; the nights themselves go with their build."""
    nights = WorkSession.objects.filter(build__in=DemoThing.numbers(Build))
    shown = Photo.objects.filter(
        Q(pk__in=Entry.photos.through.objects.filter(entry__session__in=nights).values("photo"))
        | Q(pk__in=nights.exclude(bench_photo=None).order_by().values("bench_photo"))
    )
    shown.update(deleted_at=timezone.now())
