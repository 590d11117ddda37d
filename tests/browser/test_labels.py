"""From a blank sticker to a bin with things in it, on a phone."""

from playwright.sync_api import expect

from inventory.labels.models import Label
from inventory.parts.models import Holding
from inventory.photos.models import Photo
from inventory.places.models import Location
from tests.factories import PASSWORD, make_place
from tests.inventory.photos.hostile import image

from .conftest import signed_in


def test_a_blank_label_becomes_a_bin_that_is_filled_and_gets_its_proper_label(visit, owner):
    make_place("rack", short="L", name="Left rack")
    desk = signed_in(visit.window("desk", scheme="dark"))
    desk.goto("/labels/print/?blank=3")
    desk.get_by_label("Start at label 5").click()
    expect(desk.locator(".cell.used")).to_have_count(4)
    desk.get_by_label("Sheet, tape or tag").select_option("a4-tag")
    expect(desk.locator("#sheet h2")).to_contain_text("Tags")
    desk.get_by_role("button", name="Make the PDF: 3 labels").click()
    expect(desk.get_by_role("link", name="Open the PDF, 1 page")).to_be_visible()
    code = Label.objects.blank().first().code

    phone = visit.window("phone")
    phone.goto(f"/L/{code}")
    phone.get_by_label("Name", exact=True).fill(owner.name)
    phone.get_by_label("Password", exact=True).fill(PASSWORD)
    phone.get_by_label("Password", exact=True).press("Enter")
    expect(phone.locator("h1")).to_have_text("What is this?")
    phone.wait_for_load_state()  # what is typed before the scripts have run brings no choices up
    phone.get_by_label("Its number or short name").fill("7")
    phone.get_by_label("Where the bin stands").fill("L")
    phone.get_by_role("radio", name="Left rack").check()
    phone.get_by_role("button", name="That’s what it is").click()
    expect(phone.locator("h1")).to_contain_text("L·7")

    phone.get_by_role("button", name="Put things in here").click()
    for name in ("Hatch hinge", "Hinge pin", "Check strap"):
        phone.wait_for_load_state()
        phone.get_by_label("What", exact=True).fill(name)
        expect(phone.get_by_role("radio", name=f"New part: {name}")).to_be_visible()
        phone.get_by_role("radio", name=f"New part: {name}").check()
        phone.get_by_text("Photos of it").first.click()
        phone.get_by_label("Photos of it").set_input_files(
            {"name": "odd part.jpg", "mimeType": "image/jpeg", "buffer": image()}
        )
        phone.get_by_role("button", name="Put it in L·7").click()
        expect(phone.locator(".flash", has_text=name)).to_be_visible()
    just_now = phone.locator(".rows li")
    expect(just_now).to_have_count(3)
    just_now.filter(has_text="Hinge pin").get_by_role("button", name="Undo").click()
    expect(just_now.filter(has_text="Hinge pin")).to_contain_text("(undone)")
    place = Location.objects.at("L·7").get()
    assert Photo.objects.filter(part__name="Hatch hinge").count() == 1
    assert sorted(row.part.name for row in Holding.objects.filter(location=place)) == ["Check strap", "Hatch hinge"]

    phone.get_by_role("button", name="Done with L·7").click()
    phone.get_by_role("link", name="Print its label").click()
    expect(phone.locator("#sheet svg")).to_contain_text("L·7")
    phone.get_by_role("button", name="Make the PDF: 1 label").click()
    expect(phone.get_by_role("link", name="Open the PDF, 1 page")).to_be_visible()
    assert Label.objects.get(location=place).code == code
