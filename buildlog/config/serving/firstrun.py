"""An empty shop at its start: the code that makes its owner, or the demo shop."""

from collections.abc import Callable

from django.db import transaction

from inventory.demo import actions as demo_shop
from inventory.people import setup_code
from inventory.people.actions import one_click_link
from inventory.people.models import Person, Role

DEMO_OWNER = "Runa"


def prepare(*, demo: bool, say: Callable[[str], object] = print) -> dict[str, str]:
    """What the terminal is to tell: {"code": …} on an empty shop, {"sign_in": …} for the demo's owner, or nothing."""
    owner = Person.objects.filter(role=Role.OWNER, is_active=True).order_by("pk").first()
    if owner is None and demo:
        owner = load_demo(say)
    if owner is None:
        return {"code": setup_code.issue()}
    setup_code.close()
    if demo and not demo_shop.is_loaded():
        say("This shop is somebody's own, so the demo shop was not put into it.")
    # Only the demo's owner has no password; anybody else's shop is not opened from a terminal.
    if demo and demo_shop.is_loaded() and not owner.has_usable_password():
        return {"sign_in": one_click_link(owner)}
    return {}


@transaction.atomic
def load_demo(say: Callable[[str], object]) -> Person | None:
    """The demo's owner with the demo's things, or None where the shop holds something already."""
    owner = Person.objects.create_user(DEMO_OWNER, role=Role.OWNER)
    try:
        count = demo_shop.load(owner=owner)
    except demo_shop.NotEmpty:
        transaction.set_rollback(True)
        return None
    say(f"The demo shop is in: {count} parts.")
    return owner
