"""Put things in here: one place, then one thing after another."""

import uuid

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from inventory.labels import actions
from inventory.parts.models import Batch, Holding, Part
from inventory.photos.models import Photo
from tests.factories import make_part, make_place
from tests.inventory.photos.hostile import image

pytestmark = pytest.mark.django_db


@pytest.fixture
def box():
    return make_place(short="14")


@pytest.fixture
def begun(as_hand, box):
    as_hand.post(f"/put/{box.pk}/begin/")
    return as_hand


def put(client, box, **data):
    return client.post(f"/put/{box.pk}/", {"uid": uuid.uuid4(), "quantity": "1", **data})


def held(part, place):
    row = Holding.objects.filter(part=part, location=place).first()
    return row.quantity if row else 0


def test_a_scanned_part_that_is_nowhere_comes_in_at_once(begun, box):
    part = make_part("Hatch hinge")
    label = actions.labels_for(things=[part], by=None)[0]
    assert put(begun, box, part_text=label.code).status_code == 303
    assert held(part, box) == 1


def test_a_scanned_part_that_lies_in_one_other_place_moves_from_there(begun, box):
    bench = make_place("shelf", short="S1")
    part = make_part("Hatch hinge", holds={bench: 2})
    label = actions.labels_for(things=[part], by=None)[0]
    put(begun, box, part_text=label.code)
    assert (held(part, bench), held(part, box)) == (1, 1)


def test_a_part_found_by_name_that_lies_elsewhere_asks_where_from(begun, box):
    shelf = make_place("shelf", short="S1")
    part = make_part("Hatch hinge", holds={shelf: 2})
    asked = put(begun, box, part=str(part.pk))
    assert asked.status_code == 422
    assert "From where?" in asked.text
    put(begun, box, part=str(part.pk), source=str(shelf.pk))
    assert (held(part, shelf), held(part, box)) == (1, 1)
    put(begun, box, part=str(part.pk), source="new", quantity="3")
    assert (held(part, shelf), held(part, box)) == (1, 4)


def test_a_new_name_becomes_a_part_in_the_bin(begun, box):
    put(begun, box, part_text="Step tread", part="new:Step tread", quantity="4")
    assert held(Part.objects.get(name="Step tread"), box) == 4


def test_more_than_there_are_is_refused_and_nothing_moves(begun, box):
    shelf = make_place("shelf", short="S1")
    part = make_part("Hatch hinge", holds={shelf: 2})
    label = actions.labels_for(things=[part], by=None)[0]
    assert put(begun, box, part_text=label.code, quantity="3").status_code == 422
    assert (held(part, shelf), held(part, box)) == (2, 0)


def test_each_is_listed_with_its_undo_and_a_second_tap_changes_nothing(begun, box):
    part, other, uid = make_part("Hatch hinge"), make_part("Check strap"), uuid.uuid4()
    for _ in range(2):
        put(begun, box, part=str(part.pk), part_text="Hatch hinge", uid=uid)
    put(begun, box, part=str(other.pk), part_text="Check strap")
    assert (held(part, box), held(other, box)) == (1, 1)
    listed = begun.get(f"/put/{box.pk}/").text
    assert listed.count(">Undo</button>") >= 2
    begun.post(f"/move/undo/{uid}/", {"next": f"/put/{box.pk}/"})
    assert held(part, box) == 0
    assert "(undone)" in begun.get(f"/put/{box.pk}/").text
    assert Batch.objects.filter(undoes=None).count() == 2


def test_a_parts_label_opened_meanwhile_offers_to_put_it_in_with_one_tap(begun, box):
    part = make_part("Hatch hinge")
    label = actions.labels_for(things=[part], by=None)[0]
    led = begun.get(f"/L/{label.code}").headers["Location"]
    assert led == f"/put/{box.pk}/?part={part.pk}"
    page = begun.get(led).text
    assert f'value="label:{part.pk}" checked' in page
    put(begun, box, part=f"label:{part.pk}")
    assert held(part, box) == 1


def test_when_the_turn_is_over_a_parts_label_leads_to_the_part_again(begun, box):
    part = make_part("Hatch hinge")
    label = actions.labels_for(things=[part], by=None)[0]
    assert begun.post("/put/end/").headers["Location"] == box.get_absolute_url()
    assert begun.get(f"/L/{label.code}").headers["Location"] == part.get_absolute_url()


def test_it_is_said_when_a_thing_is_there_already(begun, box):
    bench = make_place("bench", short="B1")
    part = make_part("Hatch hinge", holds={bench: 1})
    row = Holding.objects.get(part=part)
    response = begun.post(f"/put/{bench.pk}/", {"uid": uuid.uuid4(), "quantity": "1", "part": f"held:{row.pk}"})
    assert response.status_code == 422
    assert "It is here already." in response.text


def test_photos_that_come_with_a_thing_are_photos_of_it_once(begun, box):
    form = {"uid": uuid.uuid4(), "quantity": "1", "part_text": "Hatch hinge"}
    for _ in range(2):
        sent = [SimpleUploadedFile(f"{n}.jpg", image(colour=n * 90)) for n in range(2)]
        assert begun.post(f"/put/{box.pk}/", {**form, "photos": sent}).status_code == 303
    assert [photo.part.name for photo in Photo.objects.select_related("part")] == ["Hatch hinge"] * 2


def test_a_photo_that_cannot_be_read_is_named_and_the_thing_is_in(begun, box):
    text = SimpleUploadedFile("a.txt", b"no picture")
    answer = begun.post(
        f"/put/{box.pk}/",
        {"uid": uuid.uuid4(), "quantity": "1", "part_text": "Hatch hinge", "photos": text},
        follow=True,
    )
    assert "“a.txt” is not a picture" in answer.text
    assert held(Part.objects.get(), box) == 1


def test_what_lay_on_a_bench_is_put_in_once_by_a_form_that_comes_twice(begun, box):
    bench = make_place("bench")
    part = make_part("Hatch hinge", holds={bench: 1})
    form = {"uid": uuid.uuid4(), "quantity": "1", "part": f"held:{Holding.objects.get().pk}"}
    for _ in range(2):
        assert begun.post(f"/put/{box.pk}/", form).status_code == 303
    assert (held(part, bench), held(part, box)) == (0, 1)
