"""The few words our templates need beyond Django's."""

from decimal import Decimal

from django import template
from django.templatetags.static import static
from django.utils import timezone
from django.utils.html import format_html

register = template.Library()


@register.filter
def qty(value) -> str:
    """A quantity without trailing zeros: 4, 1.5."""
    if value is None or value == "":
        return "0"
    return f"{Decimal(value).normalize():f}"


@register.filter
def counted_in(value, part) -> str:
    """A quantity with its unit where it isn't pieces: 4, 1.5 m."""
    return qty(value) if part.whole else f"{qty(value)} {part.get_unit_display()}"


@register.filter
def money(value) -> str:
    """An amount as it is written on paper: 412, 412.50, −38."""
    amount = Decimal(value or 0)
    text = f"{abs(amount):,.2f}".removesuffix(".00")
    return f"−{text}" if amount < 0 else text


@register.filter
def day(value) -> str:
    """'9 Nov', and with the year when it is another one."""
    if not value:
        return ""
    local = timezone.localtime(value)
    year = "" if local.year == timezone.localtime().year else f" {local.year}"
    return f"{local.day} {local:%b}{year}"


@register.filter
def clock(left) -> str:
    """A time span counting down: 9:58."""
    seconds = int(left.total_seconds())
    return f"{seconds // 60}:{seconds % 60:02}"


@register.filter
def hours(minutes) -> str:
    """Minutes as hours and minutes: 1:45."""
    return f"{int(minutes) // 60}:{int(minutes) % 60:02}"


@register.filter
def long_clock(span) -> str:
    """A time span in hours and minutes: 1:42."""
    return hours(span.total_seconds() // 60)


@register.filter
def undo_address(message) -> str:
    """The address a message's Undo button posts to, or nothing."""
    for tag in (message.extra_tags or "").split():
        if tag.startswith("undo="):
            return tag.removeprefix("undo=")
    return ""


@register.simple_tag
def icon(name: str, label: str = ""):
    """A symbol from static/icons/icons.svg; hidden from screen readers unless it has a label of its own."""
    return format_html(
        '<svg class="icon" viewBox="0 0 24 24" role="{}" aria-label="{}"><use href="{}#{}"/></svg>'
        if label
        else '<svg class="icon" viewBox="0 0 24 24" aria-hidden="true"><use href="{2}#{3}"/></svg>',
        "img",
        label,
        static("icons/icons.svg"),
        name,
    )


@register.filter
def get(mapping, key):
    """mapping[key], or nothing."""
    return mapping.get(key) if mapping else None
