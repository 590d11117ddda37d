"""The pages of bringing a list in: choose, columns, look, bring in, undo."""

import time

import pytest
from bs4 import BeautifulSoup
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.urls import reverse

from inventory.importing import running, store
from inventory.importing.models import HeadingMemory, Import
from inventory.parts.models import Batch, Holding, Part
from inventory.places.models import Location

pytestmark = pytest.mark.django_db

LIST = b"Part;Qty;Where\nHatch hinge;2 pcs;C1 L2 14\nPin;see box;C1 L2 14\nDoor strap;a few;bench 1\n"
START = "/import/"


def choose(client, data=LIST, name="parts.csv"):
    return client.post(START, {"file": SimpleUploadedFile(name, data)})


def to_check(client, **kwargs):
    """A list chosen, its columns kept as guessed; answers with the address of the dry run."""
    columns = choose(client, **kwargs).headers["Location"]
    form = BeautifulSoup(client.get(columns).text, "html.parser")
    chosen = {s["name"]: s.find("option", selected=True)["value"] for s in form.find_all("select")}
    return client.post(columns, chosen).headers["Location"]


def texts(page, selector):
    return [" ".join(found.get_text(" ").split()) for found in BeautifulSoup(page.text, "html.parser").select(selector)]


def test_a_list_goes_from_file_to_bins(as_hand):
    check = to_check(as_hand)
    page = as_hand.get(check)
    assert texts(page, ".tally div") == ["Put in a place 2", "New parts 2", "New places 5"]
    assert texts(page, ".check-rows b") == ["Pin", "Door strap", "Hatch hinge"]
    assert "“see box” is no number." in texts(page, ".check-rows li")[0]
    assert "new place: Bench 1" in texts(page, ".check-rows li")[1]
    assert texts(page, "button.btn-primary") == ["Bring in 2 rows"]
    answer = as_hand.post(check.replace("check", "run"))
    assert answer.status_code == 303
    assert texts(as_hand.get(answer.headers["Location"]), ".bar-note") == ["Brought in."]
    assert {(h.part.name, h.location.address): h.quantity for h in Holding.objects.all()} == {
        ("Hatch hinge", "C1·L2·14"): 2, ("Door strap", "B1"): 3}  # fmt: skip
    with pytest.raises(store.Gone):
        store.table_of(Import.objects.get())


def test_the_rows_that_stayed_out_are_still_named_when_the_list_is_in(as_hand):
    page = as_hand.post(to_check(as_hand).replace("check", "run"), follow=True)
    assert "Not understood: row 3. Put it right" in " ".join(texts(page, "#standing"))


def test_pasted_cells_are_as_good_as_a_file(as_hand):
    answer = as_hand.post(START, {"text": "Part\tQty\tWhere\nHinge\t2\tbin 1\n"})
    assert answer.status_code == 303
    assert Import.objects.get().name == "Pasted list"


def test_guessed_columns_are_shown_with_examples(as_hand):
    page = as_hand.get(choose(as_hand).headers["Location"])
    assert texts(page, ".columns-list label") == ["Part", "Qty", "Where"]
    assert texts(page, "option[selected]") == ["Name of the part", "How many", "Place, in words or as an address"]
    assert texts(page, ".columns-list p")[1] == "2 pcs · see box · a few"


def test_corrected_columns_are_remembered_for_the_same_headings(as_hand):
    columns = choose(as_hand).headers["Location"]
    as_hand.post(columns, {"column_0": "note", "column_1": "", "column_2": "name"})
    assert HeadingMemory.objects.get().columns == ["note", "", "name"]
    again = as_hand.get(choose(as_hand, name="later.csv").headers["Location"])
    assert texts(again, "option[selected]") == ["Note", "Leave out", "Name of the part"]
    assert "your choices of then" in again.text


@pytest.mark.parametrize(
    ("chosen", "error"),
    [
        ({"column_0": "name", "column_1": "name"}, "“Part” is that already."),
        ({"column_0": "note"}, "Say which column has the name of the part."),
        ({"column_0": "name", "column_1": "quantity"}, "Say which column has the place"),
        ({"column_0": "colour"}, "not there to pick any more"),
    ],
)
def test_columns_that_make_no_sense_come_back_with_the_reason(as_hand, chosen, error):
    answer = as_hand.post(choose(as_hand).headers["Location"], chosen)
    assert answer.status_code == 422
    assert error in " ".join(texts(answer, ".error"))


@pytest.mark.parametrize(
    ("data", "error"),
    [(b"\x89PNG\x00\x00", "This is not a table."), (b"", "There are no rows in it."), (b"PK\x03\x04xx", "damaged")],
)
def test_a_file_that_is_no_list_is_refused_at_the_field(as_hand, data, error):
    answer = choose(as_hand, data)
    assert answer.status_code == 422
    assert error in texts(answer, ".field.wrong .error")[0]
    assert not Import.objects.exists()


def test_nothing_chosen_is_said_at_the_field(as_hand):
    assert "Choose a file" in texts(as_hand.post(START, {}), ".field.wrong .error")[0]


def test_the_dry_run_writes_nothing(as_hand):
    as_hand.get(to_check(as_hand))
    assert not Part.objects.exists()
    assert not Location.objects.exists()
    assert not Batch.objects.exists()


def test_the_dry_run_is_paged_with_errors_first(as_hand):
    rows = "".join(f"Part {n};{n % 60 and 1 or '?'};box 1\n" for n in range(1, 121))
    page = as_hand.get(to_check(as_hand, data=f"Part;Qty;Where\n{rows}".encode()))
    assert texts(page, ".check-rows b")[:3] == ["Part 60", "Part 120", "Part 1"]
    assert len(texts(page, ".check-rows b")) == 50
    assert texts(page, ".pager .soft") == ["1 of 3"]


def test_the_dry_run_follows_the_shop(as_hand):
    check = to_check(as_hand)
    other = to_check(as_hand, name="again.csv")
    as_hand.get(check)
    as_hand.post(other.replace("check", "run"))
    assert "In already 2" in texts(as_hand.get(check), ".tally div")


def test_the_same_file_again_has_nothing_to_bring_in(as_hand):
    as_hand.post(to_check(as_hand, data=b"Part;Qty;Where\nHinge;2;bin 1\n").replace("check", "run"))
    page = as_hand.get(to_check(as_hand, data=b"Part;Qty;Where\nHinge;2;bin 1\n"))
    assert texts(page, ".empty") == ["Everything in this list is in already."]
    assert not texts(page, "button.btn-primary")


def test_a_second_press_brings_nothing_in_twice(as_hand):
    run = to_check(as_hand).replace("check", "run")
    as_hand.post(run)
    assert as_hand.post(run).status_code == 303
    assert Holding.objects.get(part__name="Hatch hinge").quantity == 2


def test_one_press_undoes_the_whole_list(as_hand):
    run = to_check(as_hand).replace("check", "run")
    as_hand.post(run)
    answer = as_hand.post(run.replace("run", "undo"), follow=True)
    assert "is out again" in answer.text
    assert not Holding.objects.exists()
    assert not Location.objects.current().exists()


def test_a_list_that_is_thrown_away_leaves_nothing(as_hand):
    check = to_check(as_hand)
    as_hand.post(check.replace("check", "discard"))
    assert not Import.objects.exists()
    assert as_hand.get(check).status_code == 404


def test_a_list_whose_rows_are_gone_asks_for_the_file_again(as_hand):
    check = to_check(as_hand)
    for path in store._folder().glob("*.csv"):
        path.unlink()
    assert "Choose the file again" in as_hand.get(check, follow=True).text


def test_a_list_that_was_cut_short_waits_again_and_says_so(as_hand):
    check = to_check(as_hand)
    Import.objects.update(state="working")
    page = as_hand.get(check.replace("check", "progress"), follow=True)
    assert "Nothing was brought in" in texts(page, ".error")[0]


def test_guests_look_and_bring_nothing(as_guest, stranger):
    assert as_guest.get(START).status_code == 200
    assert choose(as_guest).status_code == 403
    assert stranger.get(START).status_code == 302


@pytest.mark.django_db(transaction=True)
def test_a_long_list_comes_in_beside_while_a_page_asks_how_far_it_is(as_hand, monkeypatch):
    monkeypatch.setattr(running, "AT_ONCE", 10)
    rows = "".join(f"Part {n};1;box {n % 9}\n" for n in range(300))
    answer = as_hand.post(to_check(as_hand, data=f"Part;Qty;Where\n{rows}".encode()).replace("check", "run"))
    progress = answer.headers["Location"]
    assert progress == reverse("inventory:importing_progress", args=[Import.objects.get().pk])
    for _ in range(200):
        piece = as_hand.get(progress, headers={"HX-Request": "true"})
        if "Brought in." in piece.text:
            break
        assert texts(piece, "#standing progress")
        time.sleep(0.05)
    assert Holding.objects.count() == 300
    assert "<html" not in piece.text
    assert "hx-get" not in piece.text
    connection.close()
