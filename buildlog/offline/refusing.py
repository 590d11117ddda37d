"""Why the shop did not take something, in words and with what there is to choose."""

from django.http import HttpRequest, HttpResponse, QueryDict
from django.utils import timezone

from inventory.parts.ledger import NotEnough
from inventory.parts.models import Holding

MOST_PLACES = 6


def reasons(response: HttpResponse, said: list[str], otherwise: str) -> list[dict]:
    """[{field, label, text}]: what the forms of the answered page complain of, and what was said beside them."""
    found = [{"text": text} for text in said]
    for form in getattr(response, "refused", []):
        for name, messages in form.errors.items():
            label = str(form.fields[name].label or "") if name in form.fields else ""
            found += [{"field": name, "label": label, "text": str(message)} for message in messages]
    return found or [{"text": otherwise}]


def short(response: HttpResponse, request: HttpRequest) -> dict | None:
    """Somebody was quicker: who and when, what is there now, and where else there is some."""
    errors = [getattr(form, "short", None) for form in getattr(response, "refused", [])]
    error = next((one for one in errors if isinstance(one, NotEnough)), None)
    if error is None:
        return None
    last = error.last
    return {
        "part": str(error.part),
        "part_id": error.part.pk,
        "place": str(error.location),
        "place_id": error.location.pk,
        "wanted": f"{error.wanted:f}",
        "there": f"{error.there:f}",
        "who": str(last.by or "Somebody") if last else "",
        "at": timezone.localtime(last.at).isoformat() if last else "",
        "took": f"{last.quantity:f}" if last else "",
        "elsewhere": _elsewhere(error, request),
    }


def _elsewhere(error: NotEnough, request: HttpRequest) -> list[dict]:
    """Places that hold enough; `url`: the same form there, where its address says the place."""
    goes_to = request.POST.get("place", "")
    rows = Holding.objects.filter(part=error.part, quantity__gte=error.wanted).exclude(location=error.location)
    rows = rows.exclude(location=goes_to) if goes_to.isdecimal() and len(goes_to) < 12 else rows
    found = []
    for row in rows.select_related("location").order_by("-quantity", "pk")[:MOST_PLACES]:
        query = QueryDict(request.META.get("QUERY_STRING", ""), mutable=True)
        by_address = query.get("place") == str(error.location.pk) and query.get("part") == str(error.part.pk)
        query["place"] = row.location_id
        url = f"{request.path}?{query.urlencode()}" if by_address else ""
        found.append({"place": str(row.location), "quantity": f"{row.quantity:f}", "url": url})
    return found
