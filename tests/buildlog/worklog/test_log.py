"""Lines go into the log once, into the right session, durable, with their photos."""

import io
import uuid
from datetime import timedelta
from threading import Thread

import pytest
from bs4 import BeautifulSoup
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.utils import timezone
from PIL import Image

from buildlog.tasks import actions as on_bench
from buildlog.tasks.models import Task
from buildlog.telling.told import own_words
from buildlog.worklog import actions, picks, queries
from buildlog.worklog.models import Entry, WorkSession
from inventory.parts.actions import take_out
from inventory.parts.quantity import exact
from inventory.photos.models import Photo
from tests.factories import make_build, make_part, make_place, make_task

pytestmark = pytest.mark.django_db


@pytest.fixture
def build(db):
    return make_build("HB-64", areas=("Side hatch",))


def picture(name="bench.jpg") -> SimpleUploadedFile:
    out = io.BytesIO()
    Image.new("RGB", (80, 60), "grey").save(out, "JPEG")
    return SimpleUploadedFile(name, out.getvalue(), "image/jpeg")


def post(client, text="Left leaf binds", **fields):
    return client.post("/tonight/log/", {"uid": str(uuid.uuid4()), "kind": "note", "text": text, **fields})


def change(client, entry, **fields):
    return client.post(f"/log/{entry.pk}/", {"uid": str(uuid.uuid4()), "text": entry.text, **fields})


def test_one_tap_starts_the_session_and_a_second_one_changes_nothing(as_owner, owner, build):
    for _ in range(2):
        assert as_owner.post("/tonight/start/").status_code == 303
    session = WorkSession.objects.get()
    assert (session.number, session.is_running) == (1, True)
    assert list(session.people.all()) == [owner]


def test_a_line_is_answered_when_it_is_kept_and_shown_with_its_time(as_owner, build):
    answer = post(as_owner)
    assert answer.status_code == 303
    entry = Entry.objects.get()
    text = as_owner.get(answer.headers["Location"]).text
    assert "Left leaf binds" in text
    assert f">{timezone.localtime(entry.at):%H:%M}</time>" in text
    assert str(entry.uid) in text  # by which the phone knows that it may forget its draft


def test_the_same_line_arriving_twice_is_there_once_and_is_answered_the_same(as_owner, build):
    uid = str(uuid.uuid4())
    first = post(as_owner, uid=uid)
    again = post(as_owner, "Something else by now", uid=uid)
    assert (first.status_code, first.headers["Location"]) == (again.status_code, again.headers["Location"])
    assert Entry.objects.get().text == "Left leaf binds"


def test_whoever_forgot_to_start_gets_a_session_with_the_first_line(as_owner, owner, build):
    post(as_owner)
    session = WorkSession.objects.get()
    assert session.started_at == session.entries.get().at or session.started_at <= session.entries.get().at
    assert list(session.people.all()) == [owner]


def test_and_it_began_with_the_first_move_of_parts_before_that(owner, build):
    tub, bench = make_place("bin"), make_place("bench")
    part = make_part(holds={tub: 3})
    now = timezone.now()
    took = now - timedelta(minutes=50)
    take_out(part=part, quantity=exact(1), source=tub, target=bench, by=owner, at=took)
    entry = actions.log(build=build, by=owner, text="Hinge is out")
    assert entry.session.started_at == took


def test_two_people_write_in_one_session(as_owner, as_hand, owner, hand, build):
    post(as_owner, "Mine")
    post(as_hand, "His")
    session = WorkSession.objects.get()
    assert set(session.people.all()) == {owner, hand}
    assert [entry.text for entry in queries.lines(session.entries)] == ["His", "Mine"]


def test_a_forgotten_session_ends_with_its_last_line_when_the_next_one_begins(owner, build):
    yesterday = timezone.now() - timedelta(days=1)
    session = actions.start(build=build, by=owner, at=yesterday)
    last = actions.log(session=session, by=owner, text="Hung it", at=yesterday + timedelta(hours=2))
    entry = actions.log(build=build, by=owner, text="Next day")
    session.refresh_from_db()
    assert session.ended_at == last.at
    assert session.end_guessed
    assert session.done == "Hung it."  # nothing of the night is lost
    assert entry.session.number == 2


def test_tonight_says_that_it_was_forgotten_and_stops_it_in_one_tap(as_owner, owner, build):
    yesterday = timezone.now() - timedelta(days=1)
    session = actions.start(build=build, by=owner, at=yesterday)
    task = make_task("Hang the hatch", build=build)
    actions.log(session=session, by=owner, text="Hung it", task=task, at=yesterday + timedelta(hours=2))
    assert "was never stopped" in as_owner.get("/tonight/").text
    as_owner.post(f"/sessions/{session.pk}/stop/guess/")
    session.refresh_from_db()
    assert session.length == timedelta(hours=2)
    assert session.times.get().minutes == 120
    assert "never stopped" not in as_owner.get("/tonight/").text


def test_a_note_needs_a_word_or_a_photo(as_owner, build):
    answer = post(as_owner, "")
    assert answer.status_code == 422
    assert "Write a word or two" in answer.text
    assert not Entry.objects.exists()
    assert post(as_owner, "", photos=picture()).status_code == 303
    assert Entry.objects.get().photos.count() == 1


def test_photos_sent_twice_are_kept_once(as_owner, build):
    uid = str(uuid.uuid4())
    for _ in range(2):
        as_owner.post("/tonight/log/", {"uid": uid, "kind": "note", "text": "Bench", "photos": [picture(), picture()]})
    assert Entry.objects.get().photos.count() == 2


def test_what_is_no_picture_is_said_and_nothing_is_logged(as_owner, build):
    answer = post(as_owner, "Bench", photos=SimpleUploadedFile("notes.txt", b"hello", "text/plain"))
    assert answer.status_code == 422
    assert "not a picture" in answer.text
    assert "Bench</textarea>" in answer.text
    assert not Entry.objects.exists()


def test_the_next_line_is_taken_to_be_about_the_last_lines_task(as_owner, owner, build):
    hinges = make_task("Weld hatch hinges", build=build)
    make_task("Fit oven-bay frame", build=build)
    post(as_owner, "Shimmed", task=hinges.pk)
    assert guessed(as_owner) == hinges


def guessed(client) -> Task | None:
    """The task the box on Tonight is set to."""
    chosen = BeautifulSoup(client.get("/tonight/").content, "html.parser").select_one("[name=task] [selected]")["value"]
    return Task.objects.get(pk=chosen) if chosen else None


@pytest.fixture
def bench(build, owner):
    """Three tasks on the bench since last night: the last line is about the second, the third was begun last."""
    now = timezone.now()
    first, second, third = tasks = [make_task(title, build=build) for title in ("Hinges", "Frame", "Sill")]
    for hours, task in zip((30, 29, 28), tasks, strict=True):
        on_bench.start(task=task, by=owner, at=now - timedelta(hours=hours))
    night = actions.start(build=build, by=owner, at=now - timedelta(hours=30))
    actions.log(session=night, by=owner, text="Cut", task=second, at=now - timedelta(hours=27))
    actions.stop(session=night, at=now - timedelta(hours=26))
    return first, second, third


def test_the_first_line_of_a_night_is_taken_to_be_about_what_was_touched_last(as_owner, owner, bench):
    _, second, third = bench
    assert guessed(as_owner) == second
    as_owner.post("/tonight/start/")
    assert guessed(as_owner) == second
    on_bench.finish(task=second, by=owner)
    assert guessed(as_owner) == third  # what was written of is done: the one begun last


@pytest.mark.parametrize("way", ["/tonight/task/{}/start/", "/tasks/{}/mark/start/"])
def test_starting_a_task_moves_the_guess_and_a_line_about_another_moves_it_back(as_owner, build, bench, way):
    first, second, _ = bench
    as_owner.post("/tonight/start/")
    lid = make_task("Lid", build=build)
    post(as_owner, "Ground", task=second.pk)
    as_owner.post(way.format(lid.pk))
    assert guessed(as_owner) == lid
    post(as_owner, "Tacked", task=first.pk)
    assert guessed(as_owner) == first


def test_what_was_put_back_is_no_guess_nor_what_somebody_else_starts(as_owner, as_hand, build, bench):
    first, second, _ = bench
    as_owner.post("/tonight/start/")
    post(as_owner, "Ground", task=second.pk)
    lid, door = (make_task(title, build=build) for title in ("Lid", "Door"))
    as_hand.post(f"/tonight/task/{door.pk}/start/")
    assert guessed(as_owner) == second
    assert guessed(as_hand) == door
    as_owner.post(f"/tonight/task/{lid.pk}/start/")
    as_owner.post(f"/tonight/task/{lid.pk}/put-back/")
    assert guessed(as_owner) == second


@pytest.mark.parametrize(
    ("text", "own", "other"),
    [
        # 43 5/16 in = 43.3125 x 25.4 mm exactly (1 in = 25.4 mm, NIST SP 811 B.6)
        ("hatch opening 43 5/16 x 43 3/16", "43 5/16 in × 43 3/16 in", "1100.1 mm × 1097 mm"),
        ("sill 1100 mm", "1100 mm", "43 5/16 in"),
        ("leaf 62,5", "62.5 mm", "2 15/32 in"),
    ],
)
def test_a_measure_is_read_kept_as_typed_and_shown_in_both_systems(as_owner, build, text, own, other):
    post(as_owner, text, kind="measure", how="tape", unit="mm")
    entry = Entry.objects.get()
    assert entry.text == text
    assert (entry.reading.own, entry.reading.other, entry.reading.how) == (own, other, "tape")
    assert own in as_owner.get("/tonight/").text


def test_sizes_stay_where_they_were_written_each_with_its_unit(as_owner, build):
    post(as_owner, "gap 3 at left 4 at right", kind="measure", how="tape", unit="mm")
    line = BeautifulSoup(as_owner.get("/tonight/").text, "html.parser").select_one("ol.log li .said")
    assert " ".join(line.text.split()) == "gap 3 mm at left 4 mm at right 1/8 in; 5/32 in, tape ± 1 mm"
    assert [size.text for size in line.select("b")] == ["3 mm", "4 mm"]
    assert own_words(Entry.objects.get()) == "gap 3 mm at left 4 mm at right"


def test_more_sizes_than_a_line_holds_are_refused_and_nothing_is_lost(as_owner, build):
    text = "; ".join(f"rib {n} at {n}.25 mm" for n in range(100, 130))
    answer = post(as_owner, text, kind="measure", how="tape", unit="mm")
    assert answer.status_code == 422
    assert "Make it two lines" in answer.text
    assert "rib 129 at 129.25 mm" in answer.text
    assert not Entry.objects.exists()


def test_how_well_it_is_known_comes_of_the_instrument_and_can_be_said_otherwise(as_owner, owner, build):
    entry = actions.log(
        build=build, by=owner, kind="measure", text="gap 43 5/16", measured="43 5/16", unit="mm", how="tape"
    )
    assert entry.reading.within == "± 1/32 in"
    assert change(as_owner, entry, unit="mm", how="tape", plus_minus="1/16").status_code == 303
    entry.refresh_from_db()
    assert entry.reading.within == "± 1/16 in"


@pytest.mark.parametrize(
    ("round_to", "other"),
    # 62,5 mm / 25.4 = 2.46063 in: x 16 = 39.37, x 32 = 78.74, x 64 = 157.48; to the nearest whole part
    [("16", "2 7/16 in"), ("32", "2 15/32 in"), ("64", "2 29/64 in"), ("", "2 15/32 in")],
)
def test_inches_are_rounded_to_the_part_that_is_asked_for(as_owner, build, round_to, other):
    post(as_owner, "leaf 62,5", kind="measure", how="tape", unit="mm", round_to=round_to)
    entry = Entry.objects.get()
    assert (entry.reading.own, entry.reading.other) == ("62.5 mm", other)
    change(as_owner, entry, unit="mm", how="tape", round_to="16")
    entry.refresh_from_db()
    assert entry.reading.other == "2 7/16 in"
    assert change(as_owner, entry, text="leaf 62,6", unit="mm", how="tape").status_code == 303


def test_a_change_that_comes_twice_keeps_its_photo_once(as_owner, owner, build):
    entry = actions.log(build=build, by=owner, text="Hinge")
    page = as_owner.get(f"/log/{entry.pk}/").context["form"]
    form = {"uid": str(page["uid"].value()), "text": "Left hinge", "saw": page.initial["saw"]}
    for _ in range(2):
        answer = as_owner.post(f"/log/{entry.pk}/", form | {"photos": picture()})
        assert answer.status_code == 303
    assert (entry.photos.count(), entry.earlier.count(), Photo.objects.count()) == (1, 1, 1)
    as_owner.post(f"/log/{entry.pk}/", form | {"uid": str(uuid.uuid4()), "photos": picture()})
    assert entry.photos.count() == 2  # picked again, on a page of its own


def test_a_good_night_that_comes_twice_keeps_its_photo_once(as_owner, owner, build):
    session = actions.start(build=build, by=owner, at=timezone.now() - timedelta(hours=1))
    page = as_owner.get(f"/sessions/{session.pk}/stop/").context["form"]
    form = {name: page[name].value() for name in page.fields if name != "photos"} | {"stopping_point": "Prime it"}
    for _ in range(2):
        assert as_owner.post(f"/sessions/{session.pk}/stop/", form | {"photos": picture()}).status_code == 303
    session.refresh_from_db()
    assert session.bench_photo == Photo.objects.get()


def test_a_measure_without_a_size_is_asked_for_again(as_owner, build):
    answer = post(as_owner, "a bit wide", kind="measure")
    assert answer.status_code == 422
    assert "There is no size in this." in answer.text


def test_without_a_build_tonight_says_what_it_needs(as_owner):
    make_place("site")
    assert as_owner.get("/").headers["Location"] == "/find/"
    assert "Add the build" in as_owner.get("/tonight/").text
    assert post(as_owner).status_code == 303
    assert not Entry.objects.exists()


def test_the_front_door_leads_to_tonight_once_there_is_a_build(as_owner, build):
    assert as_owner.get("/").headers["Location"] == "/tonight/"


@pytest.mark.django_db(transaction=True)
def test_two_phones_at_once_lose_nothing_and_mix_cleanly(owner, hand, transactional_db):
    build = make_build("HB-64")

    def write(person):
        try:
            for number in range(12):
                actions.log(build=build, by=person, text=f"{person.name} {number}")
        finally:
            connection.close()

    phones = [Thread(target=write, args=(person,)) for person in (owner, hand)]
    [phone.start() for phone in phones]
    [phone.join() for phone in phones]
    session = WorkSession.objects.get()
    for person in (owner, hand):
        written = list(session.entries.filter(by=person).order_by("pk").values_list("text", flat=True))
        assert written == [f"{person.name} {number}" for number in range(12)]


def test_tonight_asks_the_same_number_of_questions_however_long_the_log(as_owner, owner, build):
    from django.test.utils import CaptureQueriesContext

    def asked(path) -> int:
        with CaptureQueriesContext(connection) as seen:
            assert as_owner.get(path).status_code == 200
        return len(seen)

    session = actions.start(build=build, by=owner)
    task = make_task("Hang the hatch", build=build)
    for number in range(3):
        actions.log(build=build, by=owner, text=f"Line {number}", task=task)
    paths = ["/tonight/", f"/sessions/{session.pk}/", "/sessions/", f"/sessions/{session.pk}/stop/"]
    few = [asked(path) for path in paths]
    for number in range(40):
        actions.log(build=build, by=owner, text=f"More {number}", task=task)
    assert [asked(path) for path in paths] == few


def test_a_part_line_that_comes_again_is_answered_the_same_though_nothing_is_left_to_take(as_owner, build):
    place = make_place("bin")
    make_place("bench")
    part = make_part("Hinge pin", holds={place: 2})
    fields = {
        "kind": "part", "happened": "took", "quantity": "2", "uid": str(uuid.uuid4()),
        "part": picks.pick_held("Hinge pin")[0].value,
    }  # fmt: skip
    first, again = post(as_owner, "", **fields), post(as_owner, "", **fields)
    assert (first.status_code, again.status_code) == (303, 303)
    assert first.headers["Location"] == again.headers["Location"]
    assert Entry.objects.get().batch.moves.get().part == part


def test_another_instrument_or_task_keeps_what_the_line_said(as_owner, owner, build):
    floor, sill = make_task("Cut the floor", build=build), make_task("Grind the sill", build=build)
    measure = {"kind": "measure", "how": "caliper", "unit": "mm", "round_to": 32}
    entry = actions.log(build=build, by=owner, text="Sill 62,5", measured="62,5", task=floor, **measure)
    answer = change(as_owner, entry, unit="mm", how="tape", round_to=32, task=sill.pk)
    assert answer.status_code == 303
    said = entry.earlier.get().text
    assert "Sill 62,5" in said
    assert "62.5 mm" in said
    assert "caliper ± 0.05 mm" in said
    assert "Task: Cut the floor" in said
    entry.refresh_from_db()
    assert entry.edited_at


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("Opening 1,100 mm", "Write 1100 or 1.1."),
        ("Opening 43 7/16+ x 40", "Write the size without it"),
        ("Gap -5 mm", "Write it without the minus."),
    ],
)
def test_a_size_that_can_not_be_meant_is_asked_about(as_owner, build, text, says):
    answer = post(as_owner, text, kind="measure")
    assert answer.status_code == 422
    assert says in answer.text
    assert not Entry.objects.exists()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Sill 62,5", "Sill 62.5 mm."),
        ("Sill 62,5 mm", "Sill 62,5 mm."),
        ("43 5/16 x 40 hatch", "43 5/16 in × 40 in hatch."),
    ],
)
def test_what_was_done_names_the_unit_of_a_bare_number(as_owner, build, text, words):
    assert post(as_owner, text, kind="measure").status_code == 303
    actions.stop_from_afar(build=build)
    assert WorkSession.objects.get().done == words
