"""Taking a decision, and opening it again."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from buildlog.builds.models import Area, Build
from inventory.people.models import Person
from inventory.web import slots

from .models import Decision, Option, Verdict


@transaction.atomic
def ask(*, build: Build, question: str, area: Area | None = None, options: tuple[str, ...] = ()) -> Decision:
    """A new question with the options known so far."""
    decision = Decision(build=build, question=question.strip(), area=area)
    decision.full_clean()
    decision.save()
    for name in dict.fromkeys(option.strip() for option in options if option.strip()):
        Option.objects.create(decision=decision, name=name)
    return decision


@transaction.atomic
def choose(*, decision: Decision, option: Option, why: str = "", by: Person | None, at=None) -> list[str]:
    """The decision is taken; the tasks that waited for it are held by it no more. What held before stays to be read.

    Answers what is to be said to it, such as what can go on now.
    """
    if option.decision_id != decision.pk:
        raise ValidationError("That is an option of another question.")
    was_open = decision.chosen_id is None
    decision.chosen, decision.why = option, why.strip()
    decision.chosen_at, decision.chosen_by = at or timezone.now(), by
    decision.save(update_fields=["chosen", "why", "chosen_at", "chosen_by"])
    _over(decision, decision.chosen_at)
    decision.verdicts.create(option=option, words=option.name, why=decision.why, at=decision.chosen_at, by=by)
    said = slots.tell("decided", decision, by)
    return said if was_open else []


def _over(decision: Decision, at) -> None:
    Verdict.objects.filter(decision=decision, until=None).update(until=at)


@transaction.atomic
def reopen(*, decision: Decision, by: Person | None = None) -> None:
    """It is open again; what was chosen, when and why stays to be read."""
    if decision.chosen_id is None:
        return
    decision.chosen = decision.chosen_at = decision.chosen_by = None
    decision.why = ""
    decision.save(update_fields=["chosen", "why", "chosen_at", "chosen_by"])
    _over(decision, timezone.now())
    slots.tell("decided", decision, by)
