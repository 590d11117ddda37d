"""The front door and the page of everything that is not needed every night."""

from itertools import groupby

from django.shortcuts import redirect
from django.views.decorators.http import require_safe

from inventory.web import nav, slots
from inventory.web.http import page


@require_safe
def front(request):
    """Leads on: to Tonight when the build log says so, else to the first place on the bar."""
    for provider in slots.providers("front_page"):
        if address := provider(request):
            return redirect(address)
    return redirect(nav.bar()[0].url_name)


@require_safe
def first_steps(request):
    """What an empty shop can begin with."""
    steps = [step for step in nav.first_steps() if request.user.is_owner or not step.owner_only]
    return page(request, "inventory/shop/first_steps.html", {"steps": steps if request.user.may_change else []})


@require_safe
def shop(request):
    links = [link for link in nav.shop_links() if request.user.is_owner or not link.owner_only]
    groups = {link.group: min(other.order for other in links if other.group == link.group) for link in links}
    links.sort(key=lambda link: (groups[link.group], link.group, link.order))
    grouped = [(name, list(some)) for name, some in groupby(links, key=lambda link: link.group)]
    return page(request, "inventory/shop/shop.html", {"groups": grouped, "here": "shop"})
