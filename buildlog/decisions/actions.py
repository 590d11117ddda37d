"""Taking a decision, and opening it again."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from buildlog.builds.models import Area, Build
from inventory.people.models import Person

from .models import Decision, Option


@transaction.atomic
def ask(*, build: Build, question: str, area: Area | None = None, options: tuple[str, ...] = ()) -> Decision:
    """A new question with the options known so far."""
    decision = Decision(build=build, question=question.strip(), area=area)
    decision.full_clean()
    decision.save()
    for name in dict.fromkeys(option.strip() for option in options if option.strip()):
        Option.objects.create(decision=decision, name=name[:120])
    return decision


@transaction.atomic
def choose(*, decision: Decision, option: Option, why: str = "", by: Person | None, at=None) -> None:
    """The decision is taken; the tasks that waited for it are held by it no more."""
    if option.decision_id != decision.pk:
        raise ValidationError("That is an option of another question.")
    decision.chosen, decision.why = option, why.strip()
    decision.chosen_at, decision.chosen_by = at or timezone.now(), by
    decision.save(update_fields=["chosen", "why", "chosen_at", "chosen_by"])


def reopen(*, decision: Decision) -> None:
    """It is open again; what was chosen and why is not kept."""
    decision.chosen = decision.chosen_at = decision.chosen_by = None
    decision.why = ""
    decision.save(update_fields=["chosen", "why", "chosen_at", "chosen_by"])
