import pytest
from bs4 import BeautifulSoup
from django.core.exceptions import ValidationError
from django.db import IntegrityError

from buildlog.decisions import actions
from buildlog.decisions.models import Decision
from buildlog.tasks import queries
from tests.factories import make_build, make_decision, make_task

pytestmark = pytest.mark.django_db


def test_a_question_is_asked_with_its_options_one_a_line(as_hand):
    build = make_build("HB-64")
    as_hand.post("/decisions/new/?build=hb-64", {"question": "Which colour?", "options": "Cream\n\nWhite\nCream"})
    assert [option.name for option in Decision.objects.get(build=build).options.all()] == ["Cream", "White"]


def test_deciding_lets_the_task_go_and_opening_again_holds_it(as_hand):
    build = make_build()
    decision = make_decision(build, options=("Cream", "White"))
    task = make_task("Paint", build=build, decisions=[decision])
    cream = decision.options.get(name="Cream")
    listed = BeautifulSoup(as_hand.get("/decisions/").content, "html.parser").select_one(".rows .held").get_text()
    assert listed == "✕ holds Paint"
    page = as_hand.post(f"/decisions/{decision.pk}/", {"option": cream.pk, "why": "Hides flour"}, follow=True)
    decision.refresh_from_db()
    assert (decision.chosen, decision.why, str(decision.chosen_by)) == (cream, "Hides flour", "Harald")
    assert queries.plan(build).rows[task.pk].state == "ready"
    as_hand.post(BeautifulSoup(page.content, "html.parser").select_one(".flash form")["action"])
    assert queries.plan(build).rows[task.pk].state == "held"


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
