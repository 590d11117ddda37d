"""What typed text may mean, as choices for a form: tasks, and parts or mere words."""

from dataclasses import replace

from buildlog.builds.models import Build
from inventory.parts.queries import pick_parts
from inventory.web.picker import Choice

from .queries import pick_titles


def pick_tasks(build: Build, text: str, but: int | None = None) -> list[Choice]:
    found = pick_titles(build, text, but)
    return [
        Choice(
            str(task.pk),
            task.title,
            " · ".join(filter(None, (task.area.name if task.area_id else "", task.get_status_display()))),
            exact=task.title.casefold() == text.casefold(),
        )
        for task in found
    ]


def pick_part_or_words(text: str) -> list[Choice]:
    """As in the store; but what the store does not know stays words here instead of becoming a part."""
    return [
        choice
        if choice.value.isdecimal()
        else replace(choice, label=f"In words: {text}", sub="Not known in the store yet; to be found")
        for choice in pick_parts(text)
    ]
