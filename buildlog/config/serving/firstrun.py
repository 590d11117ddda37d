"""An empty shop at its start: the code that makes its owner, or the demo shop."""

from django.contrib.auth import get_user_model

from inventory.people import setup_code


def prepare(*, demo: bool, say=print) -> dict[str, str]:
    """What the terminal is to say: {"code": …} for an empty shop, {"sign_in": …} for the demo's owner, or nothing."""
    people = get_user_model().objects
    if people.exists():
        setup_code.close()
        if demo:
            say("This shop is not empty, so the demo shop was not put into it.")
        return {}
    return {"code": setup_code.issue()}
