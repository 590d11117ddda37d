import uuid

import pytest
from bs4 import BeautifulSoup
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError

from buildlog.decisions import actions
from buildlog.decisions.models import Decision
from buildlog.tasks import queries
from tests.factories import make_build, make_decision, make_task
from tests.inventory.photos.hostile import image

pytestmark = pytest.mark.django_db


def test_a_question_is_asked_with_its_options_one_a_line(as_hand):
    build = make_build("HB-64")
    as_hand.post("/decisions/new/?build=hb-64", {"question": "Which colour?", "options": "Cream\n\nWhite\nCream"})
    assert [option.name for option in Decision.objects.get(build=build).options.all()] == ["Cream", "White"]


def test_an_option_that_is_too_long_is_refused_and_none_is_cut(as_hand):
    build = make_build("HB-64")
    page = as_hand.post("/decisions/new/?build=hb-64", {"question": "Which colour?", "options": f"White\n{'x' * 121}"})
    assert page.status_code == 422
    assert "is longer than 120 letters" in page.text
    assert not build.decisions.exists()


def test_a_question_that_is_open_is_not_asked_twice(as_hand):
    build = make_build("HB-64")
    sent = {"question": "Which colour?", "options": "Cream\nWhite"}
    as_hand.post("/decisions/new/?build=hb-64", sent)
    again = as_hand.post("/decisions/new/?build=hb-64", {**sent, "question": "which  colour?"})
    assert again.status_code == 422
    assert "asked already" in again.text
    decision = build.decisions.get()
    actions.choose(decision=decision, option=decision.options.first(), by=None)
    assert as_hand.post("/decisions/new/?build=hb-64", sent).status_code == 303


def test_deciding_lets_the_task_go_and_opening_again_holds_it(as_hand):
    build = make_build()
    decision = make_decision(build, options=("Cream", "White"))
    task = make_task("Paint", build=build, decisions=[decision])
    cream = decision.options.get(name="Cream")
    listed = BeautifulSoup(as_hand.get("/decisions/").content, "html.parser").select_one(".rows .held").get_text()
    assert listed == "✕ holds Paint"
    page = as_hand.post(f"/decisions/{decision.pk}/", {"option": cream.pk, "why": "Hides flour"}, follow=True)
    decision.refresh_from_db()
    assert "Decided: Cream. Paint can go on." in page.text
    assert (decision.chosen, decision.why, str(decision.chosen_by)) == (cream, "Hides flour", "Harald")
    assert queries.plan(build).rows[task.pk].state == "ready"
    as_hand.post(BeautifulSoup(page.content, "html.parser").select_one(".flash form")["action"])
    assert queries.plan(build).rows[task.pk].state == "held"


def test_deciding_promises_nothing_of_a_task_that_is_held_by_more_or_was_free_before(as_hand):
    build = make_build()
    decision = make_decision(build, options=("Cream", "White"))
    cream, white = decision.options.all()
    make_task("Paint", build=build, decisions=[decision], needs=[make_task("Sand", build=build)])
    assert "can go on" not in as_hand.post(f"/decisions/{decision.pk}/", {"option": cream.pk}, follow=True).text
    make_task("Mask", build=build, decisions=[decision])
    assert "can go on" not in as_hand.post(f"/decisions/{decision.pk}/", {"option": white.pk}, follow=True).text


def test_an_option_of_another_question_cannot_be_chosen(as_hand):
    build = make_build()
    one, two = make_decision(build, options=("Cream",)), make_decision(build, options=("Wood",))
    assert as_hand.post(f"/decisions/{one.pk}/", {"option": two.options.get().pk}).status_code == 422
    with pytest.raises(ValidationError):
        actions.choose(decision=one, option=two.options.get(), by=None)


def test_an_option_of_the_same_name_is_refused(as_hand):
    decision = make_decision(make_build(), options=("Cream",))
    page = as_hand.post(f"/decisions/{decision.pk}/options/new/", {"name": " Cream "})
    assert page.status_code == 422
    assert "There is an option of that name." in page.text


def test_a_choice_always_has_its_time():
    decision = make_decision(make_build(), options=("Cream",))
    with pytest.raises(IntegrityError, match="decision_chosen_has_a_time"):
        Decision.objects.filter(pk=decision.pk).update(chosen=decision.options.get())


def test_a_build_goes_with_its_decided_questions():
    build = make_build()
    decision = make_decision(build, options=("Cream",))
    actions.choose(decision=decision, option=decision.options.get(), by=None)
    build.delete()
    assert not Decision.objects.exists()


def test_what_was_decided_and_why_stays_when_the_question_is_opened_again(as_hand):
    build = make_build()
    decision = make_decision(build, options=("Cream", "White"))
    cream, white = decision.options.all()
    as_hand.post(f"/decisions/{decision.pk}/", {"option": cream.pk, "why": "Hides flour"})
    as_hand.post(f"/decisions/{decision.pk}/reopen/")
    as_hand.post(f"/decisions/{decision.pk}/reopen/")  # a second tap
    as_hand.post(f"/decisions/{decision.pk}/", {"option": white.pk, "why": "Easy to match"})
    page = as_hand.get(f"/decisions/{decision.pk}/").text
    before = page.partition("Decided before</h2>")[2]
    assert "<b>Cream</b>: Hides flour" in before
    assert "Easy to match" not in before
    assert [(one.words, one.until is None) for one in decision.verdicts.all()] == [("White", True), ("Cream", False)]


def test_choosing_anew_without_opening_it_keeps_the_first_choice_too(hand):
    decision = make_decision(make_build(), options=("Cream", "White"))
    for option in decision.options.all():
        actions.choose(decision=decision, option=option, by=hand, why=f"{option} it is")
    assert [one.why for one in decision.verdicts.all()] == ["White it is", "Cream it is"]
    with pytest.raises(IntegrityError):
        decision.verdicts.update(until=None)


def test_an_option_has_its_photos(as_hand):
    decision = make_decision(make_build(), options=("Cream",))
    option = decision.options.get()
    address = f"/decisions/{decision.pk}/options/{option.pk}/photos/"
    uid = str(uuid.uuid4())
    for _ in range(2):
        answer = as_hand.post(address, {"uid": uid, "photos": SimpleUploadedFile("a.jpg", image(), "image/jpeg")})
        assert answer.status_code == 303
    assert option.photos.get().small_url in as_hand.get(f"/decisions/{decision.pk}/").text
    assert as_hand.post(address, {"uid": uid}).status_code == 422
    refused = as_hand.post(address, {"uid": uid, "photos": SimpleUploadedFile("a.jpg", b"no picture", "image/jpeg")})
    assert refused.status_code == 422
    assert option.photos.count() == 1


def test_an_option_nobody_chose_is_removed_after_asking_and_one_that_was_chosen_stays(as_hand):
    decision = make_decision(make_build(), options=("Cream", "White"))
    cream, white = decision.options.all()
    as_hand.post(f"/decisions/{decision.pk}/", {"option": cream.pk})
    actions.reopen(decision=decision)
    address = f"/decisions/{decision.pk}/options/{{}}/"
    assert "Remove this option" not in as_hand.get(address.format(cream.pk)).text
    refused = as_hand.post(address.format(cream.pk) + "remove/", follow=True)
    assert "“Cream” was chosen once, and stays to be read." in refused.text
    page = BeautifulSoup(as_hand.get(address.format(white.pk)).content, "html.parser")
    remove = page.find("a", string="Remove this option")["href"]
    assert "Remove White?" in as_hand.get(remove).text
    assert decision.options.count() == 2
    as_hand.post(remove)
    assert decision.options.get() == cream
