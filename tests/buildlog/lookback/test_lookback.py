"""The nights as a calendar, hours by week and area, and the log by whatever one looks for."""

from datetime import datetime, timedelta

import pytest
from bs4 import BeautifulSoup
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from buildlog.lookback import queries
from buildlog.lookback.queries import Asked
from buildlog.tasks.actions import finish
from buildlog.worklog import actions, actions_entries, actions_parts
from buildlog.worklog.models import Entry
from inventory.finding.queries import find
from inventory.parts.actions import take_out
from inventory.parts.quantity import exact
from inventory.photos import actions as photos
from tests.factories import make_build, make_decision, make_part, make_place, make_task
from tests.inventory.photos.hostile import image

pytestmark = pytest.mark.django_db


@pytest.fixture
def build(db):
    return make_build("HB-64", areas=("Side hatch", "Floor"))


def at(day: int, hour: int = 20, minute: int = 0, month: int = 10):
    return timezone.make_aware(datetime(2026, month, day, hour, minute))


def night(build, owner, began, hours=2, lines=(), **minutes):
    """An ended session with lines [(text, task)], one every ten minutes."""
    session = actions.start(build=build, by=owner, at=began)
    for number, (text, task) in enumerate(lines, 1):
        actions.log(session=session, by=owner, text=text, task=task, at=began + timedelta(minutes=10 * number))
    spent = {task: hours * 60 for _, task in lines if task}
    actions.stop(session=session, at=began + timedelta(hours=hours), minutes=spent)
    return session


def asked(build, **wanted) -> list[str]:
    return [entry.text for entry in queries.asked_for(build, Asked(**wanted))]


def test_the_calendar_shows_each_night_on_the_day_it_began_with_its_hours(as_owner, owner, build):
    session = night(build, owner, at(12, 22, 30), hours=3)  # past midnight
    night(build, owner, at(14, 9), hours=1)
    night(build, owner, at(14, 20), hours=2)
    soup = BeautifulSoup(as_owner.get("/sessions/").content, "html.parser")
    cells = {cell.find(class_="day").text: cell for cell in soup.select(".month td") if cell.find("b")}
    assert {day: cell.b.text for day, cell in cells.items()} == {"12": "3:00", "14": "3:00"}
    assert cells["12"].a["href"] == session.get_absolute_url()
    assert cells["14"].a["href"] == "/log/?day=2026-10-14"


def test_it_opens_on_the_last_month_that_had_a_night_and_leads_to_the_others(as_owner, owner, build):
    night(build, owner, at(3, month=6))
    night(build, owner, at(12))
    page = as_owner.get("/sessions/")
    assert "Nights of October 2026" in page.text
    assert "month=2026-09" in page.text
    assert "month=2026-11" not in page.text
    early = as_owner.get("/sessions/?month=2026-06").text
    assert "Nights of June 2026" in early
    assert 'rel="prev"' not in early


@pytest.mark.parametrize("month", ["", "2026-13", "x", "0000-01", "9999-12", "2026-1"])
def test_a_month_that_is_none_does_no_harm(as_owner, owner, build, month):
    night(build, owner, at(12))
    assert as_owner.get(f"/sessions/?month={month}").status_code == 200


def test_hours_by_week_and_by_area_and_when_each_area_was_last_touched(as_owner, owner, build):
    hatch, floor = build.areas.all()
    hinges, sill = make_task("Weld hinges", build=build, area=hatch), make_task("Sill", build=build, area=floor)
    night(build, owner, at(5), hours=2, lines=[("Tacked", hinges)])
    night(build, owner, at(8), hours=1, lines=[("Cut", sill)])
    night(build, owner, at(13), hours=3, lines=[("Welded", hinges)])
    finish(task=sill, by=owner, at=at(20))
    rows = {row.area: row for row in queries.areas(build)}
    assert (rows[hatch].minutes, rows[hatch].share) == (300, 100)
    assert (rows[floor].minutes, rows[floor].share) == (60, 20)
    assert rows[hatch].touched == at(13, 20, 10)
    assert rows[floor].touched == at(20)
    text = as_owner.get("/sessions/").text
    assert "Week of 5 Oct: 3:00." in text
    assert "Week of 12 Oct: 3:00." in text
    assert "Last touched Tue 20 Oct" in text


def test_the_log_is_found_by_day_task_area_part_person_kind_picture_and_words(owner, hand, build):
    hatch, _ = build.areas.all()
    hinges = make_task("Weld hinges", build=build, area=hatch)
    bolts = make_part("M8×25", holds={make_place("drawer"): 9})
    make_place("bench")
    first = night(build, owner, at(5, 22), hours=4, lines=[("Tacked the left leaf", hinges), ("Swept", None)])
    actions.log(session=first, by=hand, text="After midnight", at=at(6, 1), photos=[photos.add(data=image(), by=hand)])
    actions.log(session=first, by=hand, kind="snag", text="Pin is oval", at=at(6, 1, 30))
    actions_parts.log_part(
        build=build, session=first, by=owner, part=bolts, quantity=exact(2), happened="took",
        source=bolts.holdings.get().location, at=at(6, 1, 40), text="For the leaf",
    )  # fmt: skip
    night(build, owner, at(7), lines=[("Another night", None)])
    assert asked(build)[0] == "Another night"
    assert asked(build, day=at(5).date()) == [
        "For the leaf", "Pin is oval", "After midnight", "Swept", "Tacked the left leaf",
    ]  # fmt: skip
    assert asked(build, task=hinges) == asked(build, area=hatch) == ["Tacked the left leaf"]
    assert asked(build, part=bolts) == ["For the leaf"]
    assert asked(build, by=hand) == ["Pin is oval", "After midnight"]
    assert asked(build, kind="snag") == ["Pin is oval"]
    assert asked(build, pictures=True) == ["After midnight"]
    assert asked(build, words="leaf tacked") == ["Tacked the left leaf"]
    actions.log(session=first, by=hand, text="Farbe GRÜN", at=at(6, 1, 50))
    assert asked(build, words="grün") == ["Farbe GRÜN"]
    assert asked(build, words="weld") == ["Tacked the left leaf"]  # by its task
    assert asked(build, words="leaf", by=owner) == ["For the leaf", "Tacked the left leaf"]


@pytest.mark.parametrize("words", ["creme", "Crème", "CRÈME", "cremes", "62.5", "62,5", "5MM"])
def test_words_of_the_log_are_folded_as_find_does(build, owner, words):
    task = make_task("Crème inside", build=build)
    night(build, owner, at(5), lines=[("Crème at 62,5 × 5 mm", None), ("Swept", None), ("5 mm to 62.5", task)])
    assert asked(build, words=words)[-1] == "Crème at 62,5 × 5 mm"
    assert "Swept" not in asked(build, words=words)
    assert len(asked(build, words=words)) == 2  # the other by its task, or by its own words


def test_words_that_are_struck_or_no_words_are_found_as_they_stand(build, owner):
    session = night(build, owner, at(5), lines=[("Cut the sill ½", None), ("Swept", None)])
    session.entries.update(struck_at=at(6))
    assert asked(build, words="SILL") == asked(build, words="½") == ["Cut the sill ½"]
    assert asked(build, words="§") == []


def test_the_page_takes_what_is_asked_in_its_address_and_passes_over_nonsense(as_owner, owner, build):
    hatch, _ = build.areas.all()
    hinges = make_task("Weld hinges", build=build, area=hatch)
    night(build, owner, at(5), lines=[("Tacked", hinges), ("Swept", None)])
    text = as_owner.get(f"/log/?area={hatch.pk}&task={hinges.pk}").text
    assert "Tacked" in text
    assert "Swept" not in text
    assert "Tacked" in as_owner.get("/log/?task_text=weld+hinges").text
    nonsense = as_owner.get("/log/?area=x&task=99999&day=never&kind=q&before=abc&by=0&part=%00")
    assert nonsense.status_code == 200
    assert "Swept" in nonsense.text
    assert "No line is like that." in as_owner.get("/log/?q=zeppelin").text


def test_older_lines_come_portion_by_portion_each_once(as_owner, owner, build):
    session = night(build, owner, at(5), hours=4)
    same = at(5, 21)
    for number in range(95):  # many of one and the same moment
        actions.log(session=session, by=owner, text=f"Line {number:02}", at=same)
    seen, address = [], "/log/"
    while address:
        soup = BeautifulSoup(as_owner.get(address, headers={"HX-Request": "true"}).content, "html.parser")
        assert soup.html is None
        seen += [line.text.strip() for line in soup.select(".said > a")]
        more = soup.select_one(".more a")
        address = f"/log/{more['href']}" if more else None
    assert seen == [f"Line {number:02}" for number in reversed(range(95))]


def test_what_was_written_and_tasks_are_found_by_find_and_follow_each_change(owner, build):
    entry = actions.log(build=build, by=owner, text="Left leaf binds at twenty degrees")
    assert [(answer.kind, answer.ref) for answer in find("binds degrees").answers] == [("worklog", entry.pk)]
    actions_entries.change(entry=entry, by=owner, text="Left leaf swings free")
    assert find("binds degrees").total == 0
    assert find("swings").answers[0].card == entry
    actions_entries.strike(entry=entry)
    assert find("swings").total == 0
    task = make_task("Solder the float", build=build, area=build.areas.first(), detail="pinhole near the seam")
    assert [answer.ref for answer in find("pinhole").answers] == [task.pk]
    assert [answer.ref for answer in find("solder hatch").answers] == [task.pk]
    Entry.objects.all().delete()
    task.delete()
    assert find("pinhole").total == 0


def test_find_shows_parts_before_tasks_before_lines(as_owner, owner, build):
    make_task("Gas strut brackets", build=build)
    actions.log(build=build, by=owner, text="gas strut rattles")
    make_part("Gas strut", holds={make_place(): 2})
    assert [answer.kind for answer in find("gas strut").answers] == ["part", "task", "worklog"]
    page = as_owner.get("/find/?q=gas+strut").text
    assert "Gas strut brackets" in page
    assert "gas strut rattles" in page


def test_find_leads_on_to_the_log_with_the_same_words(as_owner, owner, build):
    actions.log(build=build, by=owner, text="gas strut rattles")
    assert "/log/?q=gas%20strut" in as_owner.get("/find/?q=gas+strut").text
    assert "/log/?q=" not in as_owner.get("/find/").text
    assert "gas strut rattles" in as_owner.get("/log/?q=gas%20strut").text


def test_a_night_leads_to_the_one_before_and_the_one_after(as_owner, owner, build):
    first, second, third = (night(build, owner, at(day)) for day in (5, 8, 12))
    page = BeautifulSoup(as_owner.get(second.get_absolute_url()).content, "html.parser")
    assert page.select_one("a[rel=prev]")["href"] == first.get_absolute_url()
    assert page.select_one("a[rel=next]")["href"] == third.get_absolute_url()
    assert 'rel="next"' not in as_owner.get(third.get_absolute_url()).text


def test_a_parts_page_shows_the_nights_and_tasks_that_touched_it(as_owner, owner, build):
    tub, bench = make_place("drawer", short="B3"), make_place("bench")
    bolts = make_part("M8×25", holds={tub: 9})
    hang = make_task("Hang the hatch", build=build, uses={bolts: 4})
    other = make_part("Hinge", holds={tub: 1})
    session = actions.start(build=build, by=owner, at=at(5))
    actions_parts.log_part(
        build=build, session=session, by=owner, part=bolts, quantity=exact(2), happened="used", source=tub,
        task=hang, at=at(5, 20, 30),
    )  # fmt: skip
    take_out(part=bolts, quantity=exact(1), source=tub, target=bench, by=owner, at=at(5, 21))
    actions.stop(session=session, at=at(5, 22))
    page = as_owner.get(bolts.get_absolute_url()).text
    panel = page.partition("In the log</h2>")[2].partition("</section>")[0]
    assert "Used up 2 × M8×25 from B3." in panel
    assert "Took 1 × M8×25" in panel  # beside the log, in its time
    assert f'href="/tasks/{hang.pk}/"' in panel
    assert session.get_absolute_url() in panel
    assert "In the log</h2>" not in as_owner.get(other.get_absolute_url()).text


def test_a_photo_leads_back_to_what_it_was_kept_for(as_owner, owner, build):
    photo = photos.add(data=image(), by=owner)
    session = night(build, owner, at(5))
    line = actions.log(session=session, by=owner, text="Pin is oval", photos=[photo], at=at(5, 21))
    actions.stop(session=session, at=at(5, 22), bench_photo=photo)
    task = make_task("Hang the hatch", build=build)
    task.photos.add(photo)
    option = make_decision(build, options=("Cream",)).options.get()
    option.photos.add(photo)
    page = as_owner.get(photo.get_absolute_url()).text
    for address in (
        f"{session.get_absolute_url()}#line-{line.pk}",
        f"/tasks/{task.pk}/",
        f"/decisions/{option.decision_id}/",
    ):
        assert f'href="{address}"' in page
    assert "The bench at the end of Session 1" in page
    assert "Kept for" not in as_owner.get(photos.add(data=image(colour=9), by=owner).get_absolute_url()).text


def test_a_tasks_page_leads_to_its_whole_log(as_owner, owner, build):
    task = make_task("Hang the hatch", build=build)
    session = night(build, owner, at(5), lines=[(f"Line {number}", task) for number in range(11)])
    assert "Line 0<" in as_owner.get(f"/tasks/{task.pk}/").text
    for number in range(60):
        actions.log(session=session, by=owner, text=f"More {number}", task=task, at=at(5, 21))
    assert f"/log/?task={task.pk}" in as_owner.get(f"/tasks/{task.pk}/").text


def test_the_newest_lines_are_read_from_the_end_of_an_index_however_long_the_log_is(build):
    plan = queries.asked_for(build, Asked())[:41].explain()
    # sqlite.org/eqp.html: USING INDEX names it; USE TEMP B-TREE FOR ORDER BY would put all lines in order first.
    assert "entry_by_time" in plan
    assert "TEMP B-TREE" not in plan


def test_looking_back_asks_the_same_number_of_questions_however_much_there_is(as_owner, owner, build):
    part = make_part("Hinge", holds={make_place(): 99})
    make_place("bench")
    task = make_task("Hang the hatch", build=build, area=build.areas.first())

    def fill(nights, month):
        for number in range(nights):
            session = night(build, owner, at(1 + number, month=month), lines=[("A line", task), ("Another", None)])
            actions_parts.log_part(
                build=build, session=session, by=owner, part=part, quantity=exact(1), happened="used",
                source=part.holdings.get().location, task=task, at=at(1 + number, 21, month=month),
            )  # fmt: skip
            photo = photos.add(data=image(), by=owner)
            actions.log(session=session, by=owner, text="Seen", photos=[photo], at=at(1 + number, 21, 30, month=month))

    addresses = ["/sessions/", "/log/", f"/log/?area={build.areas.first().pk}&q=line", f"/log/?part={part.pk}",
                 part.get_absolute_url(), f"/tasks/{task.pk}/"]  # fmt: skip

    def asked_of_each() -> list[int]:
        counts = []
        for address in addresses:
            as_owner.get(address)
            with CaptureQueriesContext(connection) as seen:
                assert as_owner.get(address).status_code == 200
            counts.append(len(seen))
        return counts

    fill(3, 10)
    few = asked_of_each()
    fill(20, 9)
    fill(10, 8)
    assert asked_of_each() == few
    assert max(few[:4]) <= 16


def test_hours_by_area_add_up_to_all_hours(as_owner, owner, build):
    hatch, _ = build.areas.all()
    night(build, owner, at(5), hours=2, lines=[("Tacked", make_task("Weld hinges", build=build, area=hatch))])
    night(build, owner, at(8), hours=1, lines=[("Swept the floor", None)])
    night(build, owner, at(9), hours=3, lines=[("Read the book", make_task("Read", build=build))])
    rows = {row.area: row.minutes for row in queries.areas(build)}
    assert (rows[hatch], rows[None]) == (120, 240)
    assert sum(rows.values()) == 6 * 60
    assert "On no area" in as_owner.get("/sessions/").text


def test_too_many_words_are_said_and_find_nothing(as_owner, owner, build):
    night(build, owner, at(5), lines=[("Tacked", None)])
    text = as_owner.get("/log/", {"q": "Tacked " * 30}).text
    assert "Look for fewer words" in text
    assert "line-" not in text
