"""Parts that are fasteners: read from their names, put right by hand, found as the same."""

import pytest
from django.urls import reverse

from inventory.importing.reading import read_pasted
from inventory.parts.models import Part
from inventory.parts.queries import pick_parts
from tests.factories import make_list, make_part, make_place

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("name", ["M8x25 hex 8.8", "M8×1.25×25 hex bolt 8.8", "Bolt M8 x 25, hex head, class 8.8"])
def test_the_name_is_kept_as_one_fastener_however_it_is_written(name):
    part = make_part(name)
    assert part.fastener == "M8×1.25×25 hex bolt 8.8"
    assert part.fastener_key == make_part("M8X25 HEX 8.8").fastener_key


@pytest.mark.parametrize(
    "name",
    [
        "Hinge pin 8 mm",
        "Hose 10 mm",
        "Bulb 12V 21W",
        "Nut 10",
        "Bolt number 8",
        "Bolt no. 30",
        "Tyre 165 R 15",
        "Hatch hinge",
    ],
)
def test_what_only_might_be_a_fastener_is_left_alone(name):
    assert make_part(name).fastener == ""


def test_a_new_name_is_read_again():
    part = make_part("M8x25 hex 8.8")
    part.name = "M8x30 hex 8.8"
    part.save(update_fields=["name"])
    part.refresh_from_db()
    assert part.fastener == "M8×1.25×30 hex bolt 8.8"


def test_bulk_made_parts_are_read_too():
    Part.objects.bulk_create([Part(name="#10-32 x 1/2 pan")])
    assert Part.objects.get().fastener_key


def test_a_list_brings_the_same_fastener_into_the_part_there_is(as_owner):
    part = make_part("M8x25 hex 8.8")
    make_place("container", short="C1")
    make_list("Part;Qty;Where\nHex bolt M8 × 25 8.8;40;C1\nM6x16 hex;9;C1\nM6 x 16 hex bolt;1;C1\n", brought=True)
    assert [row.quantity for row in part.holdings.all()] == [40]
    assert Part.objects.count() == 2
    assert read_pasted("Part\nM8").table.rows


def test_the_same_thing_is_offered_first_and_is_the_one_meant():
    part = make_part("Hex bolt M8×25 8.8")
    choices = pick_parts("M8x25 hex 8.8")
    assert (choices[0].value, choices[0].exact) == (str(part.pk), True)
    assert choices[0].sub == "The same: M8×1.25×25 hex bolt 8.8 · Good · Found"


def test_a_new_fastener_says_what_was_understood():
    assert pick_parts("5/16 UNF nyloc")[-1].sub == "Understood as 5/16-24 hex nylon insert nut"


def _fields(**more):
    return {"condition": "good", "origin": "bought", "unit": "pieces", "keep_at_least": "0", **more}


def test_adding_the_same_again_asks_first(as_owner):
    part = make_part("M8x25 hex 8.8")
    response = as_owner.post("/parts/new/", _fields(name="M8×25 hex bolt 8.8"))
    assert response.status_code == 422
    assert part.get_absolute_url() in response.text
    response = as_owner.post("/parts/new/", _fields(name="M8×25 hex bolt 8.8", another="on"))
    assert response.status_code == 303
    assert Part.objects.same_fastener(part.fastener_key).count() == 2


def test_its_page_gives_facts_in_both_systems_with_their_standards_and_defers_to_the_manual(as_owner):
    """ISO 273 normal hole 9 mm; ISO 2306 drill 6.8 mm; ISO 4014 spanner 13 mm; T = K·d·F with K 0.20 and 75 %."""
    text = as_owner.get(make_part("M8x25 hex 8.8 zinc").get_absolute_url()).text
    for said in (
        "6.8 mm",
        "9 mm",
        "13 mm",
        "ISO 2306",
        "ISO 273",
        "ISO 898-1",
        "20.32 per inch",
        "21.2 kN",
        "4,770 lbf",
    ):
        assert said in text
    assert "about 25 N·m" in text
    assert "The vehicle’s manual wins." in text
    assert "11 to 21 kN" in text


def test_the_nut_factor_is_chosen_on_the_page(as_owner):
    address = make_part("M8x25 hex 8.8 zinc").get_absolute_url()
    assert "about 19 N·m" in as_owner.get(f"{address}?nut=any lubrication").text
    assert as_owner.get(f"{address}?nut=honey&share=7").status_code == 200


def test_stainless_is_given_no_torque_but_says_why(as_owner):
    text = as_owner.get(make_part("M8x25 hex A2-70").get_absolute_url()).text
    assert "N·m" not in text
    assert "no proof load in its standard" in text


def test_a_name_that_only_might_be_one_is_asked_about_and_answered(as_owner):
    part = make_part("Hatch bolt M8x40")
    assert "Is it a fastener?" in as_owner.get(part.get_absolute_url()).text
    form = as_owner.get(reverse("inventory:fasteners_edit", args=[part.pk])).context["form"]
    data = {name: value for name, value in form.initial.items() if value}
    as_owner.post(reverse("inventory:fasteners_edit", args=[part.pk]), data | {"grade": "10.9"})
    part.refresh_from_db()
    assert part.fastener == "M8×1.25×40 hex bolt 10.9"
    part.name = "Hatch bolt"
    part.save()
    assert part.fastener == "M8×1.25×40 hex bolt 10.9"


def test_no_fastener_is_said_and_undone(as_owner):
    part = make_part("M8x40")
    as_owner.post(reverse("inventory:fasteners_none", args=[part.pk]))
    part.refresh_from_db()
    assert part.fastener == ""
    as_owner.post(reverse("inventory:fasteners_again", args=[part.pk]))
    part.refresh_from_db()
    assert part.fastener == "M8×1.25×40"


@pytest.mark.parametrize(
    ("wrong", "at"),
    [({"size": "M8x"}, "size"), ({"pitch": "fine"}, "pitch"), ({"length": "1/0"}, "length"), ({"grade": "9"}, "grade"),
     ({"kind": "nut", "form": "socket"}, "form"), ({"standard": "DIN 934"}, "standard")],
)  # fmt: skip
def test_fields_that_cannot_be_are_refused_where_they_stand(as_owner, wrong, at):
    part = make_part("M8x40 hex")
    data = {"kind": "bolt", "size": "M8", "length": "40"} | wrong
    response = as_owner.post(reverse("inventory:fasteners_edit", args=[part.pk]), data)
    assert response.status_code == 422
    assert list(response.context["form"].errors) == [at]


def test_inch_lengths_come_back_from_the_fields_as_they_went_in(as_owner):
    part = make_part("1/4-20 x 1-1/2 button")
    form = as_owner.get(reverse("inventory:fasteners_edit", args=[part.pk])).context["form"]
    as_owner.post(reverse("inventory:fasteners_edit", args=[part.pk]), {k: v for k, v in form.initial.items() if v})
    before = part.fastener_key
    part.refresh_from_db()
    assert part.fastener_key == before


def test_anything_can_be_looked_up_without_being_in_the_list(as_owner):
    text = as_owner.get("/fasteners/", {"q": "3/8-16 x 1 hex grade 5"}).text
    assert "9/16 in" in text
    assert "SAE J429" in text
    assert "It needs a size" in as_owner.get("/fasteners/", {"q": "hatch"}).text
