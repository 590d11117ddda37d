"""Every address of the site, with something real at it: one place that the walk, the access test and others use.

A new address with arguments needs a line in SAMPLES; the tests say so when it is missing.
"""

import io
import uuid
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cache

from django.urls import URLPattern, URLResolver, get_resolver, reverse
from django.utils import timezone
from PIL import Image

from buildlog.tasks.actions import start
from buildlog.telling.actions import make as tell
from buildlog.telling.models import RecordRun, Story
from buildlog.worklog.actions import log
from buildlog.worklog.actions import start as start_session
from inventory.donors import actions as donors
from inventory.donors.calc.bagged import Bagged
from inventory.donors.models import Cost
from inventory.donors.pulling import pull
from inventory.finding.models import SameWords
from inventory.labels.actions import labels_for
from inventory.labels.models import PrintRun
from inventory.parts.actions import empty_into
from inventory.people.actions import let_in
from inventory.people.models import Device
from inventory.photos import actions
from inventory.places.actions_grid import organizer_places, set_up
from inventory.places.calc.grid import Numbering
from tests.factories import make_build, make_decision, make_list, make_part, make_person, make_place, make_task

PDF = b"%PDF-1.4\n1 0 obj<</Type/Catalog>>endobj\ntrailer<</Root 1 0 R>>\n%%EOF\n"
SHARE_KEY = "an-address-nobody-can-guess"


@cache
def picture() -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (160, 120), "grey").save(out, "JPEG")
    return out.getvalue()


@dataclass
class Shop:
    """A small shop that has one of everything."""

    def __post_init__(self):
        self.yard = make_place("site", name="Yard", short="Y")
        self.container = make_place("container", name="Container 1", short="C1", parent=self.yard)
        self.bin = make_place("bin", short="14", parent=self.container)
        self.bench = make_place("bench", name="Lathe bench", short="B1")
        self.donor = make_place("vehicle", name="Halvard 20 pickup", short="D1")
        self.part = make_part("Hatch hinge", holds={self.bin: 3}, donor=self.donor, part_numbers="4-4410-2")
        self.other = make_part("Door check strap", holds={self.bench: 1})
        self.batch = empty_into(source=self.bench, target=self.container, by=None)
        drawers = organizer_places(
            parent=self.container, name="Organizer 1", short="H1", rows=2, cols=2, numbering=Numbering(style="letters")
        )
        self.cabinet, self.drawer = set_up(places=drawers, by=None), drawers[1]
        self.waiting = make_list("Part;Qty;Where\nHinge pin;2;C1\n")
        self.brought = make_list("Part;Qty;Where\nSplit pin;9;C1\n", brought=True)
        self.person = make_person("hand", name="Sven")
        self.photo = actions.add(data=picture(), part=self.part, by=None)
        actions.add(data=picture(), part=self.part, by=None)
        self.owner = make_person("owner", name="Astrid")
        self.device = Device.objects.create(person=self.owner, name="Firefox on Linux")
        self.words = SameWords.objects.create(words="sliding door, slider")
        self.pairing, _ = let_in(person=self.person, shown_to=self.owner)
        self.label = labels_for(things=[self.bin], by=None)[0]
        self.run = PrintRun.objects.create(stock="a4-3x7-63.5x38.1", codes=[self.label.code], pages=1, failed="Once")
        self.build = make_build("HB-64", areas=("Side hatch",))
        self.area = self.build.areas.get()
        self.decision = make_decision(self.build, options=("Cream", "White"))
        self.need = make_task("Weld hatch hinges", build=self.build)
        self.task = make_task(
            "Hang the hatch", build=self.build, area=self.area, needs=[self.need], decisions=[self.decision],
            uses={self.part: 2}, words=("Gas strut",), cautions=["jack", "dust"],
        )  # fmt: skip
        self.change = start(task=self.need, by=None)
        self.session = start_session(build=self.build, by=self.owner)
        self.entry = log(build=self.build, by=self.owner, kind="snag", text="Pin is worn oval", photos=[self.photo])
        self.promise = self.need.provisions.create(later=self.task, words="Leave four holes")
        self._strip_a_donor()
        self.bolt = make_part("M8x25 hex 8.8 zinc", holds={self.drawer: 40}, keep_at_least=50)
        self.story = tell(build=self.build, by=None, takes="nights", sessions=[self.session])
        self.piece = self.story.pieces.get(entry=self.entry)
        self.heading = self.story.pieces.filter(shape="heading").first()
        Story.objects.filter(pk=self.story.pk).update(share_key=SHARE_KEY, shared_at=timezone.now())
        self.record = RecordRun.objects.create(build=self.build, failed="Once")

    def _strip_a_donor(self):
        self.wreck = donors.add_donor(by=None, location=self.donor, number="1M8GDM9AXKP042788", price=650)
        donors.acknowledge(donor=self.wreck, by=self.person)
        (self.want,) = donors.want(donor=self.wreck, things=[{"what": "Pedal box"}], by=None)
        self.cost = Cost.objects.create(donor=self.wreck, what="Trailer", amount=55)
        self.paper = donors.add_paper(
            donor=self.wreck, data=PDF, name="bill.pdf", what="Bill of sale", uid=uuid.uuid4(), by=None
        )
        self.pull = pull(
            donor=self.wreck,
            name="Wiper motor",
            quantity=Decimal(1),
            target=self.bench,
            bagged=(Bagged(3, "M6×16 hex"),),
            before=[actions.add(data=picture(), by=None)],
            by=None,
            uid=uuid.uuid4(),
        )


# Address name -> its arguments, and what follows the question mark.
SAMPLES: dict[str, Callable[[Shop], tuple[dict, str]]] = {
    "original": lambda shop: ({"digest": "0" * 64}, ""),
    "photo_ahead": lambda shop: ({"number": uuid.uuid4()}, ""),
    "places_detail": lambda shop: ({"where": shop.drawer.where}, ""),
    "places_undo": lambda shop: ({"number": shop.cabinet.changes.get().pk}, ""),
    "places_edit": lambda shop: ({"number": shop.bin.pk}, ""),
    "places_move": lambda shop: ({"number": shop.bin.pk}, ""),
    "places_layout": lambda shop: ({"number": shop.cabinet.pk}, ""),
    "places_arrange": lambda shop: ({"number": shop.container.pk}, ""),
    "places_order": lambda shop: ({"number": shop.bin.pk}, ""),
    "places_retire": lambda shop: ({"number": shop.bin.pk}, ""),
    "places_bring_back": lambda shop: ({"number": shop.bin.pk}, ""),
    "places_unused": lambda shop: ({"number": shop.drawer.pk}, ""),
    "places_join": lambda shop: ({"number": shop.drawer.pk}, ""),
    "places_split": lambda shop: ({"number": shop.drawer.pk}, ""),
    "parts_detail": lambda shop: ({"number": shop.part.pk}, ""),
    "parts_edit": lambda shop: ({"number": shop.part.pk}, ""),
    "parts_merge": lambda shop: ({"number": shop.part.pk}, ""),
    "parts_retire": lambda shop: ({"number": shop.other.pk}, ""),
    "parts_bring_back": lambda shop: ({"number": shop.part.pk}, ""),
    "parts_take_out": lambda shop: ({}, f"place={shop.bin.pk}&part={shop.part.pk}"),
    "parts_leave": lambda shop: ({}, f"place={shop.bin.pk}&part={shop.part.pk}"),
    "parts_correct": lambda shop: ({}, f"place={shop.bin.pk}&part={shop.part.pk}"),
    "parts_count": lambda shop: ({}, f"place={shop.bin.pk}"),
    "parts_move_many": lambda shop: ({}, f"place={shop.bin.pk}"),
    "parts_empty": lambda shop: ({}, f"place={shop.bin.pk}"),
    "photos_add": lambda shop: ({"kind": "part", "number": shop.part.pk}, ""),
    "photos_detail": lambda shop: ({"uid": shop.photo.pk}, ""),
    "photos_shift": lambda shop: ({"uid": shop.photo.pk}, ""),
    "photos_delete": lambda shop: ({"uid": shop.photo.pk}, ""),
    "photos_bring_back": lambda shop: ({"uid": shop.photo.pk}, ""),
    "photos_file": lambda shop: ({"uid": shop.photo.pk, "size": "small"}, ""),
    "find": lambda shop: ({}, "q=hinge"),
    "find_words_edit": lambda shop: ({"number": shop.words.pk}, ""),
    "find_words_remove": lambda shop: ({"number": shop.words.pk}, ""),
    "people_pair_state": lambda shop: ({"number": shop.pairing.pk}, ""),
    "people_device": lambda shop: ({"number": shop.device.pk}, ""),
    "people_device_out": lambda shop: ({"number": shop.device.pk}, ""),
    "people_detail": lambda shop: ({"number": shop.person.pk}, ""),
    "people_invite": lambda shop: ({"number": shop.person.pk}, ""),
    "people_off": lambda shop: ({"number": shop.person.pk}, ""),
    "people_on": lambda shop: ({"number": shop.person.pk}, ""),
    "people_devices_out": lambda shop: ({"number": shop.person.pk}, ""),
    "keeping_download": lambda shop: ({"name": "gusset-20260101-040000.tar"}, ""),
    "keeping_backup": lambda shop: ({"name": "gusset-20260101-040000.tar"}, ""),
    "keeping_check": lambda shop: ({"name": "gusset-20260101-040000.tar"}, ""),
    "keeping_bring_back": lambda shop: ({"name": "gusset-20260101-040000.tar"}, ""),
    "labels_resolve": lambda shop: ({"code": shop.label.code}, ""),
    "labels_detail": lambda shop: ({"code": shop.label.code}, ""),
    "labels_stick": lambda shop: ({"code": shop.label.code}, ""),
    "labels_peel": lambda shop: ({"code": shop.label.code}, ""),
    "labels_retire": lambda shop: ({"code": shop.label.code}, ""),
    "labels_take_up": lambda shop: ({"code": shop.label.code}, ""),
    "labels_run": lambda shop: ({"uid": shop.run.pk}, ""),
    "labels_pdf": lambda shop: ({"uid": shop.run.pk}, ""),
    "labels_put": lambda shop: ({"number": shop.bin.pk}, ""),
    "labels_put_begin": lambda shop: ({"number": shop.bin.pk}, ""),
    "labels_print": lambda shop: ({}, f"inside={shop.container.pk}&blank=3&start=4"),
    "donors_detail": lambda shop: ({"number": shop.wreck.pk}, ""),
    "donors_edit": lambda shop: ({"number": shop.wreck.pk}, ""),
    "donors_cautions": lambda shop: ({"number": shop.wreck.pk}, ""),
    "donors_wanted": lambda shop: ({"number": shop.wreck.pk}, ""),
    "donors_pull": lambda shop: ({"number": shop.wreck.pk}, ""),
    "donors_pick": lambda shop: ({"number": shop.wreck.pk}, ""),
    "donors_photos": lambda shop: ({"number": shop.wreck.pk}, ""),
    "donors_papers": lambda shop: ({"number": shop.wreck.pk}, ""),
    "donors_money": lambda shop: ({"number": shop.wreck.pk}, ""),
    "donors_on_paper": lambda shop: ({"number": shop.wreck.pk}, ""),
    "donors_want": lambda shop: ({"number": shop.want.pk}, ""),
    "donors_remove_cost": lambda shop: ({"number": shop.cost.pk}, ""),
    "donors_paper_file": lambda shop: ({"uid": shop.paper.pk}, ""),
    "donors_remove_paper": lambda shop: ({"uid": shop.paper.pk}, ""),
    "donors_pull_detail": lambda shop: ({"number": shop.pull.pk}, ""),
    "donors_bag": lambda shop: ({"number": shop.pull.pk}, ""),
    "donors_made_after": lambda shop: ({"number": shop.part.pk}, ""),
    "fasteners_look": lambda shop: ({}, "q=M8x25+hex+8.8"),
    "fasteners_what": lambda shop: ({}, "across=7.9&unit=mm&pitch=1.25"),
    "fasteners_instead": lambda shop: ({}, "q=M8x20+hex+8.8&count=4"),
    "fasteners_weigh": lambda shop: (
        {"number": shop.bolt.pk},
        f"place={shop.drawer.pk}&sample=10&sample_weight=120&total_weight=480&division=1",
    ),
    "fasteners_edit": lambda shop: ({"number": shop.bolt.pk}, ""),
    "fasteners_none": lambda shop: ({"number": shop.bolt.pk}, ""),
    "fasteners_again": lambda shop: ({"number": shop.bolt.pk}, ""),
    "organizers_fill": lambda shop: ({"number": shop.cabinet.pk}, ""),
    "parts_undo": lambda shop: ({"uid": shop.batch.pk}, ""),
    "importing_columns": lambda shop: ({"uid": shop.waiting.pk}, ""),
    "importing_check": lambda shop: ({"uid": shop.waiting.pk}, ""),
    "importing_run": lambda shop: ({"uid": shop.waiting.pk}, ""),
    "importing_progress": lambda shop: ({"uid": shop.brought.pk}, ""),
    "importing_undo": lambda shop: ({"uid": shop.brought.pk}, ""),
    "importing_discard": lambda shop: ({"uid": shop.waiting.pk}, ""),
    "importing_export_csv": lambda shop: ({"what": "parts"}, ""),
    "importing_export_json": lambda shop: ({"what": "moves"}, ""),
    "builds_detail": lambda shop: ({"code": shop.build.code}, ""),
    "builds_remove": lambda shop: ({"code": shop.build.code}, ""),
    "builds_edit": lambda shop: ({"code": shop.build.code}, ""),
    "builds_work_on": lambda shop: ({"code": shop.build.code}, ""),
    "builds_areas": lambda shop: ({"code": shop.build.code}, ""),
    "builds_area_edit": lambda shop: ({"code": shop.build.code, "number": shop.area.pk}, ""),
    "builds_area_shift": lambda shop: ({"code": shop.build.code, "number": shop.area.pk}, ""),
    "builds_area_remove": lambda shop: ({"code": shop.build.code, "number": shop.area.pk}, ""),
    "decisions_new": lambda shop: ({}, f"build={shop.build.code}"),
    "decisions_detail": lambda shop: ({"number": shop.decision.pk}, ""),
    "decisions_edit": lambda shop: ({"number": shop.decision.pk}, ""),
    "decisions_reopen": lambda shop: ({"number": shop.decision.pk}, ""),
    "decisions_option_new": lambda shop: ({"number": shop.decision.pk}, ""),
    "decisions_option_edit": lambda shop: (
        {"number": shop.decision.pk, "option": shop.decision.options.first().pk},
        "",
    ),
    "decisions_option_remove": lambda shop: (
        {"number": shop.decision.pk, "option": shop.decision.options.first().pk},
        "",
    ),
    "decisions_option_photos": lambda shop: (
        {"number": shop.decision.pk, "option": shop.decision.options.first().pk},
        "",
    ),
    "plan": lambda shop: ({}, f"area={shop.area.pk}"),
    "tasks_add": lambda shop: ({}, f"build={shop.build.code}"),
    "tasks_detail": lambda shop: ({"number": shop.task.pk}, ""),
    "tasks_edit": lambda shop: ({"number": shop.task.pk}, ""),
    "tasks_mark": lambda shop: ({"number": shop.task.pk, "verb": "start"}, ""),
    "tasks_shift": lambda shop: ({"number": shop.task.pk}, ""),
    "tasks_undo": lambda shop: ({"uid": shop.change.pk}, ""),
    "tasks_needs": lambda shop: ({"number": shop.task.pk}, ""),
    "tasks_need_remove": lambda shop: ({"number": shop.task.pk, "need": shop.need.pk}, ""),
    "tasks_parts": lambda shop: ({"number": shop.task.pk}, ""),
    "tasks_part_remove": lambda shop: ({"number": shop.task.pk, "line": shop.task.parts.first().pk}, ""),
    "tasks_part_got": lambda shop: ({"number": shop.task.pk, "line": shop.task.parts.last().pk}, ""),
    "tasks_promises": lambda shop: ({"number": shop.task.pk}, ""),
    "tasks_promise_keep": lambda shop: ({"number": shop.promise.pk}, ""),
    "tasks_promise_remove": lambda shop: ({"number": shop.promise.pk}, ""),
    "tasks_photos": lambda shop: ({"number": shop.task.pk}, ""),
    "tasks_split": lambda shop: ({"number": shop.task.pk}, ""),
    "tasks_join": lambda shop: ({"number": shop.task.pk}, ""),
    "tasks_pick": lambda shop: ({}, f"build={shop.build.pk}&name=need&need_text=weld"),
    "tonight_mark": lambda shop: ({"number": shop.task.pk, "verb": "finish"}, ""),
    "sessions_detail": lambda shop: ({"number": shop.session.pk}, ""),
    "sessions_add": lambda shop: ({"number": shop.session.pk}, ""),
    "sessions_edit": lambda shop: ({"number": shop.session.pk}, ""),
    "sessions_stop": lambda shop: ({"number": shop.session.pk}, ""),
    "sessions_stop_guess": lambda shop: ({"number": shop.session.pk}, ""),
    "sessions_go_on": lambda shop: ({"number": shop.session.pk}, ""),
    "entries_detail": lambda shop: ({"number": shop.entry.pk}, ""),
    "entries_strike": lambda shop: ({"number": shop.entry.pk}, ""),
    "entries_unstrike": lambda shop: ({"number": shop.entry.pk}, ""),
    "entries_make_task": lambda shop: ({"number": shop.entry.pk}, ""),
    "entries_unmake_task": lambda shop: ({"number": shop.entry.pk}, ""),
    "entries_take_back": lambda shop: ({"number": shop.entry.pk}, ""),
    "worklog_pick": lambda shop: ({}, "name=part&part_text=hinge"),
    "tasks_pick_part": lambda shop: ({}, "name=part&part_text=hinge"),
    "stories_detail": lambda shop: ({"number": shop.story.pk}, ""),
    "stories_title": lambda shop: ({"number": shop.story.pk}, ""),
    "stories_delete": lambda shop: ({"number": shop.story.pk}, ""),
    "stories_bring_back": lambda shop: ({"number": shop.story.pk}, ""),
    "stories_take_up": lambda shop: ({"number": shop.story.pk}, ""),
    "stories_add": lambda shop: ({"number": shop.story.pk}, ""),
    "stories_preview": lambda shop: ({"number": shop.story.pk}, ""),
    "stories_out": lambda shop: ({"number": shop.story.pk}, ""),
    "stories_post": lambda shop: ({"number": shop.story.pk}, ""),
    "stories_post_text": lambda shop: ({"number": shop.story.pk}, ""),
    "stories_data": lambda shop: ({"number": shop.story.pk, "kind": "csv"}, ""),
    "log_data": lambda shop: ({"code": shop.build.code, "kind": "json"}, ""),
    "video": lambda shop: ({"number": shop.story.pk}, ""),
    "video_text": lambda shop: ({"number": shop.story.pk, "name": "captions.vtt"}, ""),
    "video_shots": lambda shop: ({"number": shop.story.pk, "order": "filming"}, ""),
    "pieces_shot": lambda shop: ({"number": shop.piece.pk}, ""),
    "pieces_starts": lambda shop: ({"number": shop.heading.pk}, ""),
    "record_run": lambda shop: ({"uid": shop.record.pk}, ""),
    "record_file": lambda shop: ({"uid": shop.record.pk}, ""),
    "stories_share": lambda shop: ({"number": shop.story.pk}, ""),
    "shared": lambda shop: ({"key": SHARE_KEY}, ""),
    "shared_picture": lambda shop: ({"key": SHARE_KEY, "name": "001.webp"}, ""),
    "story_pictures": lambda shop: ({"number": shop.story.pk}, ""),
    "story_pair": lambda shop: ({"number": shop.story.pk}, ""),
    "story_drawing": lambda shop: ({"number": shop.story.pk, "name": "hours", "kind": "svg"}, ""),
    "pieces_leave": lambda shop: ({"number": shop.piece.pk}, ""),
    "pieces_photo": lambda shop: ({"number": shop.piece.pk}, ""),
    "pieces_write": lambda shop: ({"number": shop.piece.pk}, ""),
    "pieces_shift": lambda shop: ({"number": shop.piece.pk}, ""),
    "pieces_remove": lambda shop: ({"number": shop.piece.pk}, ""),
}


@dataclass(frozen=True)
class Address:
    """`name` with its namespace; `takes` are the arguments in its pattern."""

    name: str
    takes: frozenset[str]

    @property
    def short(self) -> str:
        return self.name.rpartition(":")[2]

    def filled(self, shop: Shop) -> str:
        """A path that leads somewhere in this shop."""
        sample = SAMPLES.get(self.short)
        if sample is None:
            assert not self.takes, f"{self.name} takes {set(self.takes)}: add a line for it to SAMPLES in {__name__}"
            return reverse(self.name)
        arguments, query = sample(shop)
        return reverse(self.name, kwargs=arguments) + (f"?{query}" if query else "")


def _walk(patterns, namespace: str = "") -> Iterator[Address]:
    for pattern in patterns:
        if isinstance(pattern, URLResolver):
            inner = f"{namespace}{pattern.namespace}:" if pattern.namespace else namespace
            yield from _walk(pattern.url_patterns, inner)
        elif isinstance(pattern, URLPattern) and pattern.name:
            yield Address(f"{namespace}{pattern.name}", frozenset(pattern.pattern.regex.groupindex))


@cache
def all_addresses() -> tuple[Address, ...]:
    """Every named address, once."""
    return tuple(dict.fromkeys(_walk(get_resolver().url_patterns)))
