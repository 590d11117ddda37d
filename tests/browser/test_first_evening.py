"""The first evening of a new user: on a phone, by touch, from the code in the terminal to the right bin."""

import re

import pytest
from playwright.sync_api import expect

from inventory.parts import audit
from inventory.people import setup_code
from tests.factories import PASSWORD

LIST = """Parts in the barn;;;
Name;Qty;Where;Condition
Hatch hinge, left;2 pcs;container 1, left rack, shelf 2, bin 14;good
Hatch hinge, right;2;C1 L2 14;good

Window felt;4,8 m;C1·R1·03;good
Bonnet catch;1;C1-L1-2;rusty, repairable
"""


@pytest.fixture
def code(settings, tmp_path):
    settings.DATA_DIR = tmp_path
    return setup_code.issue()


def test_a_new_user_sets_up_brings_a_list_takes_two_out_takes_that_back_and_finds_the_part(visit, code):
    page = visit.window("phone")

    page.goto("/")
    page.get_by_label("Code from the terminal").fill(code)
    page.get_by_label("Your name").fill("Olga")
    page.get_by_label("A password").fill(PASSWORD)
    page.get_by_role("button", name="Open the shop").tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("First steps")

    page.get_by_role("link", name="Make a place").tap()
    page.get_by_role("link", name="A container with racks").tap()
    page.get_by_role("button", name="Make it").tap()
    page.wait_for_url("**/at/C1/")

    page.goto("/import/")
    page.get_by_label("Your list").set_input_files(
        {"name": "barn.csv", "mimeType": "text/csv", "buffer": LIST.encode("cp1252")}
    )
    page.get_by_role("button", name="Read it").tap()
    page.get_by_role("button", name="See what would happen").tap()
    page.get_by_role("button", name=re.compile("Bring in 4 rows")).tap()
    expect(page.get_by_text("Brought in.")).to_be_visible()

    page.get_by_role("link", name="Find").tap()
    page.get_by_role("searchbox").press_sequentially("c1 l2 14", delay=10)
    expect(page.locator(".found li").first).to_contain_text("C1·L2·14")
    page.locator(".found li").first.get_by_role("link").first.tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("C1·L2·14")
    expect(page.locator("main")).to_contain_text("Hatch hinge, left")

    page.get_by_role("link", name="Take out").first.tap()
    page.get_by_role("link", name=re.compile("Hatch hinge, left")).tap()
    page.get_by_role("button", name="One more").tap()
    expect(page.get_by_label("How many")).to_have_value("2")
    page.get_by_label("Where to").fill("C1 L1 2")
    page.locator(".pick-one", has_text="C1·L1·02").or_(page.locator(".pick-one", has_text="C1·L1·2")).first.tap()
    page.get_by_role("button", name="Take out").tap()
    expect(page.get_by_role("status").first).to_contain_text("Took 2 × Hatch hinge, left")
    expect(page.locator(".rows", has_text="Hatch hinge, right")).not_to_contain_text("Hatch hinge, left")

    page.get_by_role("button", name="Undo").first.tap()
    expect(page.get_by_role("status").first).to_contain_text("Undone")
    expect(page.locator("main")).to_contain_text("Hatch hinge, left")

    page.get_by_role("link", name="Find").tap()
    page.get_by_role("searchbox").press_sequentially("hinge lh", delay=10)
    first = page.locator(".found li").first
    expect(first).to_contain_text("Hatch hinge, left")
    expect(first).to_contain_text("C1·L2·14")
    assert audit.differences() == []
