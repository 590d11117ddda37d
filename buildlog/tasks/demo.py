"""Example plan: a 1964 Halvard 20 van becomes a mobile bakery. Every name in it is invented."""

from datetime import timedelta
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from buildlog.builds.actions import add_build
from buildlog.builds.models import Build
from buildlog.decisions.actions import ask, choose
from buildlog.decisions.models import Decision, Option
from inventory.demo.models import DemoThing
from inventory.parts.ledger import Line, record
from inventory.parts.models import Holding, Part, Reason
from inventory.people.models import Person
from inventory.places.actions import add_place
from inventory.places.models import Kind, Location

from . import actions
from .calc.typed import parse
from .models import Change, Provision, Task, TaskPart

CODE = "HB-64"
MILL, COATER = "Ana’s workshop (mill)", "Coater across town"

PLAN = """\
Side hatch:
Fit the counter 4-6-9h
    Hang the hatch 2-3-5h
        Weld hatch hinges 2-3-4h
            Mill hinge blocks 2h
                Saw hinge blocks, 4 2h
            [x] Straighten hatch frame 3h
        Fit gas strut brackets 1h
        Paint hatch, inside 2h
            [x] Strip hatch skin to metal 4h
    Cut counter board to length 1h
Seal the hatch 1-2h after: Hang the hatch
Catch for the open hatch 1h after: Hang the hatch
Oven bay:
Fit the oven 2-3-5h
    Fit oven-bay frame 3h
        Weld oven-bay frame 4-6-8h
            Cut frame tubes to length 2h
        Paint oven-bay frame 1h after: Weld oven-bay frame
    Line the bay with insulation board 3h
    Run the flue through the roof 2-4h
        Cut the flue opening 1-2h
Guard round the oven 2h after: Fit the oven
Floor:
Lay the floor boards 5-7-10h
    Weld new sill, left 4-6-9h
        [x] Cut out rotten sill, left 3h
    Weld new sill, right 4-6-9h
        Cut out rotten sill, right 3h
    Prime the floor frame 2h after: Weld new sill, left; Weld new sill, right
Cavity wax in the sills 1h after: Prime the floor frame
Running gear:
First drive round the yard 1h
    Rebuild front brakes 4-6h
        Press out old kingpins 2h
    Rebuild rear brakes 3-5h
    New brake lines 4h
    Refit the radiator 1-2h
        Flush the block 1h
    Set the timing 1h
Rebuild the carburettor 3h
Wiring:
Lights and indicators 4-6h
    Draw the wiring plan 2h
    Pull new loom, front to rear 5-8h after: Draw the wiring plan; Lay the floor boards
Second battery for the bakery 2h after: Draw the wiring plan
Water:
Basin and tap 2-3h
    Fresh-water tank under the bench 2h after: Lay the floor boards
    Waste-water tank under the floor 2-3h after: Weld new sill, right
Drain valve that can be reached from outside 1h after: Waste-water tank under the floor
"""

CAUTIONS = {
    "Weld new sill, left": ["tank", "hollow", "cleaner"],
    "Weld new sill, right": ["tank", "hollow", "cleaner"],
    "Cut out rotten sill, right": ["jack", "dust"],
    "Strip hatch skin to metal": ["dust"],
    "Rebuild front brakes": ["jack", "dust"],
    "Rebuild rear brakes": ["jack", "dust"],
    "Press out old kingpins": ["jack", "stored"],
    "Fit gas strut brackets": ["stored"],
    "Second battery for the bakery": ["battery"],
}
M8 = "M8×25 hex bolt, 8.8 zinc"
USES = {
    "Hang the hatch": [(M8, 12), ("Gas strut", 2), ("Hatch hinge, left", 1), ("Hatch hinge, right", 1)],
    "Fit gas strut brackets": [(M8, 6)],
    "Rebuild front brakes": [("Wheel cylinder, front", 4), ("Brake shoe set, front", 1), ("Kingpin set", 1)],
    "Rebuild rear brakes": [("Wheel cylinder, rear", 2), ("Brake shoe set, rear", 1)],
    "New brake lines": [("Brake pipe 3/16", 9)],
    "Refit the radiator": [("Radiator", 1), ("Radiator hose, top", 1), ("Radiator hose, bottom", 1)],
    "Basin and tap": [("Sink, steel", 1), ("Tap, brass", 1)],
    "Cut counter board to length": [("Counter board, beech", 1)],
    "Weld oven-bay frame": [("Oven bay frame rail", 4), ("Oven bay corner bracket", 6)],
    "Run the flue through the roof": [("Flue collar", 1)],
}
# What lies away and waits to be fetched: where, days ago, the parts with how many, and what is done there.
AWAY = (
    (MILL, 6, (("Bumper iron, left", 2), ("Bumper iron, right", 2)), "Slots milled 12 mm longer"),
    (MILL, 6, (("Thermostat housing", 1),), "Face skimmed flat"),
    (COATER, 13, (("Road wheel", 4),), "Blasted and coated"),
)
WAITS = {"Paint hatch, inside": 48, "Paint oven-bay frame": 24, "Prime the floor frame": 24}
DECISIONS = (
    ("Which colour inside the hatch?", "Side hatch", ("Cream", "Signal white", "Bare, clear-coated"),
     ("Paint hatch, inside",)),
    ("Oven: wood or gas?", "Oven bay", ("Wood-fired, 90 kg", "Gas, two decks"), ("Cut the flue opening",)),
    ("Which boards for the floor?", "Floor", ("Larch, 22 mm", "Birch ply, 18 mm"), ("Lay the floor boards",)),
)  # fmt: skip


@transaction.atomic
def load(owner: Person) -> None:
    """Adds the example build. Does nothing when it is there already."""
    if Build.objects.coded(CODE).exists():
        return
    build = add_build(
        code=CODE,
        name="Bakery van",
        number="H20-64-03117",
        parent=Location.objects.filter(pk__in=DemoThing.numbers(Location), name="Barn").first(),
        goal="A van one person can bake and sell from: oven, hatch with a counter, running water, safe on the road.",
    )
    DemoThing.mark(build, build.vehicle)
    now = timezone.now()
    typed = parse(PLAN)
    change = actions.add_typed(build=build, lines=typed.lines, area=None, by=owner, at=now - timedelta(days=9))
    tasks = {task.title: task for task in Task.objects.filter(pk__in=[row["task"] for row in change.rows])}
    _details(tasks)
    _send_out(owner, now)
    _decide(build, tasks, owner, now)
    actions.start(task=tasks["Fit gas strut brackets"], by=owner, at=now - timedelta(days=2))
    actions.start(task=tasks["Rebuild the carburettor"], by=owner, at=now - timedelta(days=5))
    actions.finish(task=tasks["Cut frame tubes to length"], by=owner, at=now - timedelta(days=3))
    actions.hold(task=tasks["Set the timing"], words="The borrowed timing light comes back on Friday", by=owner)


def _details(tasks: dict[str, Task]) -> None:
    mill = add_place(kind=Kind.SITE, name=MILL, away=True)
    DemoThing.mark(mill)
    for title in ("Mill hinge blocks", "Press out old kingpins"):
        tasks[title].place = mill
    for title, hours in WAITS.items():
        tasks[title].wait_hours = hours
    for title, keys in CAUTIONS.items():
        tasks[title].cautions = keys
    tasks[
        "Weld hatch hinges"
    ].detail = "Left leaf binds when bolted up dry: try a 1 mm shim under it before the last pass."
    Task.objects.bulk_update(tasks.values(), ["place", "wait_hours", "cautions", "detail"])
    for title, lines in USES.items():
        for name, quantity in lines:
            part = Part.objects.current().filter(name__iexact=name).first()
            TaskPart.objects.create(
                task=tasks[title], part=part, words="" if part else name, quantity=Decimal(quantity)
            )
    Provision.objects.create(
        task=tasks["Weld oven-bay frame"],
        later=tasks["Guard round the oven"],
        words="Leave four M6 holes for the guard",
    )
    Provision.objects.create(
        task=tasks["Lay the floor boards"], later=tasks["Pull new loom, front to rear"],
        words="A 40 mm channel along the left side for the loom",
    )  # fmt: skip


def _send_out(owner: Person, now) -> None:
    places = {place.name: place for place in Location.objects.filter(away=True, pk__in=DemoThing.numbers(Location))}
    for name, days, parts, note in AWAY:
        held = Holding.objects.select_related("part", "location").filter(location__away=False)
        lines = [
            Line(row.part, Decimal(quantity), row.location, places[name], Reason.SENT_OUT, note)
            for part, quantity in parts
            if (row := held.filter(part__name=part, quantity__gte=quantity).first())
        ]
        if lines:
            what = f"Sent {' and '.join(f'{line.quantity} × {line.part}' for line in lines)} to {name}"
            record(lines=lines, what=what, by=owner, at=now - timedelta(days=days))


def _decide(build: Build, tasks: dict[str, Task], owner: Person, now) -> None:
    areas = {area.name: area for area in build.areas.all()}
    for question, area, options, waiting in DECISIONS:
        decision = ask(build=build, question=question, area=areas[area], options=options)
        for title in waiting:
            tasks[title].decisions.add(decision)
    says = {
        "Cream": ("The old bakery in the village", "Flour dust does not show", "Yellows next to the oven", None),
        "Signal white": ("", "Easy to match later", "Every thumb shows", None),
        "Larch, 22 mm": ("The barn’s own loft", "Paid for already, warm underfoot", "Heavier by 30 kg", Decimal(0)),
        "Birch ply, 18 mm": ("", "Flat, light, quick to lay", "Edges drink water", Decimal(210)),
        "Wood-fired, 90 kg": ("", "No bottles, sells the bread", "Flue through the roof, inspection", Decimal(1400)),
        "Gas, two decks": ("", "Even heat, half the weight", "Gas fitting by a licensed trade", Decimal(2300)),
    }
    for option in Option.objects.filter(decision__build=build):
        if option.name in says:
            option.came_from, option.speaks_for, option.speaks_against, option.cost = says[option.name]
            option.save()
    boards = Decision.objects.get(build=build, question="Which boards for the floor?")
    choose(
        decision=boards, option=boards.options.get(name="Larch, 22 mm"), by=owner, at=now - timedelta(days=6),
        why="It is dry, it is there, and the old ones were larch too.",
    )  # fmt: skip


@transaction.atomic
def remove() -> None:
    """Takes the example build away again, with its tasks and decisions. Its places go with the store's."""
    builds = Build.objects.filter(pk__in=DemoThing.numbers(Build))
    # A task of the shop's own that wants a part of the demo keeps it as words.
    for line in TaskPart.objects.filter(part__in=DemoThing.numbers(Part)).exclude(task__build__in=builds):
        TaskPart.objects.filter(pk=line.pk).update(words=str(line.part)[:120], part=None)
    Change.objects.filter(rows__0__task__in=list(builds.values_list("tasks", flat=True))).delete()
    builds.delete()
