"""What every page has."""

from . import nav, slots


def shop(request):
    return {"bar": nav.bar(), "heads": slots.heads()}
