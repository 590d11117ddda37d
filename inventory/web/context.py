"""What every page has."""

from . import nav


def shop(request):
    return {"bar": nav.bar()}
