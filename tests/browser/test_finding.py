"""Finding with the thumbs: answers while typing, and nothing lost on the way back."""

from playwright.sync_api import expect

from inventory.parts.models import Part
from tests.factories import make_part, make_place


def test_answers_come_while_typing_and_the_address_leads_back(phone):
    container = make_place("container", short="C1", name="Container 1")
    bin14 = make_place("bin", short="14", parent=container)
    make_part("Hatch hinge pin", holds={bin14: 2})
    make_part("Door strap")
    phone.goto("/find/")
    phone.get_by_role("searchbox").press_sequentially("hatch hnige", delay=20)
    answers = phone.locator(".found li")
    expect(answers).to_have_count(1)
    expect(answers.first).to_contain_text("C1·14")
    expect(phone.get_by_role("status").last).to_contain_text("taking “hnige” for “hinge”")
    assert phone.url.endswith("/find/?q=hatch+hnige")
    answers.first.get_by_role("link").click()
    expect(phone.locator("h1")).to_contain_text("Hatch hinge pin")
    phone.go_back()
    expect(phone.get_by_role("searchbox")).to_have_value("hatch hnige")
    expect(phone.locator(".found li")).to_have_count(1)


def test_more_answers_join_the_list_and_a_filter_narrows_it(phone):
    Part.objects.bulk_create([Part(name=f"Door clip {n}", condition="scrap" if n < 3 else "good") for n in range(30)])
    phone.goto("/find/")
    phone.get_by_role("searchbox").fill("door clip")
    rows = phone.locator(".found li:not(.more)")
    expect(rows).to_have_count(20)
    asked = []
    phone.on("request", lambda request: "/find/" in request.url and asked.append(request.url))
    phone.get_by_role("link", name="More", exact=True).click()
    expect(rows).to_have_count(30)
    phone.get_by_text("Narrow it down").click()
    phone.get_by_label("Condition").select_option("scrap")
    expect(rows).to_have_count(3)
    assert "condition=scrap" in phone.url
    # Leaving the box for More asked nothing again, which would have put the first twenty back.
    assert [url for url in asked if "offset=" not in url and "condition=scrap" not in url] == []


def test_what_is_not_there_is_added_with_its_name(phone):
    phone.goto("/find/")
    phone.get_by_role("searchbox").fill("Quarter light catch")
    phone.get_by_role("link", name="Add “Quarter light catch”").click()
    expect(phone.get_by_label("Name", exact=True)).to_have_value("Quarter light catch")
