"""The way to scanning one thing after another, on the pages of Scan and of places."""

from inventory.web.slots import Panel


def on_scan(request, _):
    return [Panel("One after another", "buildlog/offline/on_scan.html")] if request.user.may_change else []


def on_place(request, place):
    if place.divided or place.retired_at or place.unused or not request.user.may_change:
        return []
    return [Panel("By scanning", "buildlog/offline/on_place.html", {"place": place})]
