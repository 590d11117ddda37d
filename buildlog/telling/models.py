"""A story: what it takes from the log, in which order, and what of it may be told."""

import uuid

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils import timezone

from buildlog.builds.models import Area, Build
from buildlog.tasks.models import Task
from buildlog.worklog.models import Entry, WorkSession
from inventory.donors.models import Donor
from inventory.photos.models import Photo


class Takes(models.TextChoices):
    """What a story is made from."""

    NIGHTS = "nights", "Nights"
    DATES = "dates", "Dates"
    AREA = "area", "An area"
    TASK = "task", "A task"
    DONOR = "donor", "A donor"


class StoryQuerySet(models.QuerySet):
    def newest_first(self) -> "StoryQuerySet":
        return self.order_by("-changed_at", "-pk")

    def shared(self) -> "StoryQuerySet":
        return self.exclude(share_key="")


class KeptStories(models.Manager.from_queryset(StoryQuerySet)):
    """Without those that were deleted."""

    def get_queryset(self):
        return super().get_queryset().filter(deleted_at=None)


class Story(models.Model):
    uid = models.UUIDField(unique=True, default=uuid.uuid4, editable=False, help_text="Its name in a feed, for ever")
    build = models.ForeignKey(Build, on_delete=models.CASCADE, related_name="stories")
    title = models.CharField(max_length=160)
    takes = models.CharField(max_length=8, choices=Takes.choices, default=Takes.NIGHTS, editable=False)
    sessions = models.ManyToManyField(WorkSession, related_name="+", editable=False)
    since = models.DateField(null=True, blank=True, editable=False)
    until = models.DateField(null=True, blank=True, editable=False)
    area = models.ForeignKey(Area, on_delete=models.SET_NULL, null=True, related_name="+", editable=False)
    task = models.ForeignKey(Task, on_delete=models.SET_NULL, null=True, related_name="+", editable=False)
    donor = models.ForeignKey(Donor, on_delete=models.SET_NULL, null=True, related_name="+", editable=False)

    # What stays out unless it is ticked.
    with_private = models.BooleanField("lines and photos kept out of public", default=False)
    with_numbers = models.BooleanField("identification numbers", default=False)
    with_addresses = models.BooleanField("addresses of places", default=False)
    with_prices = models.BooleanField("prices", default=False)
    with_people = models.BooleanField("names of people", default=False)

    share_key = models.CharField(max_length=64, blank=True, editable=False, help_text="Empty: not shared")
    shared_at = models.DateTimeField(null=True, blank=True, editable=False)
    agreed = models.JSONField(
        default=list, editable=False, help_text="Marks of what an owner has let strangers read, see sharing.py"
    )
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField(default=timezone.now, editable=False)
    changed_at = models.DateTimeField(default=timezone.now, editable=False)
    deleted_at = models.DateTimeField(null=True, blank=True, editable=False)

    objects = KeptStories()
    with_deleted = StoryQuerySet.as_manager()

    class Meta:
        ordering = ["-changed_at", "-pk"]
        verbose_name_plural = "stories"
        constraints = [
            models.CheckConstraint(condition=~Q(title=""), name="story_has_a_title"),
            models.CheckConstraint(condition=Q(takes__in=Takes.values), name="story_takes_known"),
            models.CheckConstraint(
                condition=Q(since=None) | Q(until=None) | Q(since__lte=F("until")), name="story_dates_rise"
            ),
            models.UniqueConstraint(fields=["share_key"], condition=~Q(share_key=""), name="story_share_key_once"),
            models.CheckConstraint(
                condition=Q(share_key="", shared_at=None) | (~Q(share_key="") & Q(shared_at__isnull=False)),
                name="story_shared_has_a_time",
            ),
        ]

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return reverse("buildlog:stories_detail", args=[self.pk])

    @property
    def keeps(self) -> frozenset[str]:
        """What was ticked: any of private, number, address, price, person."""
        ticked = {
            "private": self.with_private, "number": self.with_numbers, "address": self.with_addresses,
            "price": self.with_prices, "person": self.with_people,
        }  # fmt: skip
        return frozenset(name for name, on in ticked.items() if on)


class Shape(models.TextChoices):
    """What a piece of a story is."""

    HEADING = "heading", "Heading"
    WORDS = "words", "Words"
    LINE = "line", "Line of the log"
    PAIR = "pair", "Before and after"


NO_CLIP = "-"  # a line whose clip is not in the film


class Piece(models.Model):
    """One piece of a story, in its place. A line shows its entry's words unless it has words of its own."""

    story = models.ForeignKey(Story, on_delete=models.CASCADE, related_name="pieces")
    order = models.PositiveIntegerField(default=0)
    shape = models.CharField(max_length=8, choices=Shape.choices)
    text = models.TextField(blank=True)
    left_out = models.BooleanField(default=False)
    entry = models.ForeignKey(Entry, on_delete=models.CASCADE, null=True, related_name="+")
    photos_out = models.ManyToManyField(Photo, related_name="+")
    session = models.ForeignKey(
        WorkSession, on_delete=models.SET_NULL, null=True, related_name="+", help_text="The night a heading opens"
    )
    drafts = models.CharField(max_length=10, blank=True, help_text="Which words the program writes here, see drafts.py")
    before = models.ForeignKey(Photo, on_delete=models.SET_NULL, null=True, related_name="+")
    after = models.ForeignKey(Photo, on_delete=models.SET_NULL, null=True, related_name="+")

    # For a video. Empty: as the log has it, or as it is worked out.
    clip = models.CharField(max_length=80, blank=True)
    clip_in = models.CharField("from", max_length=12, blank=True)
    clip_out = models.CharField("to", max_length=12, blank=True)
    said = models.TextField("what is said", blank=True)
    starts = models.PositiveIntegerField("chapter starts at", null=True, blank=True, help_text="Seconds")

    class Meta:
        ordering = ["order", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(shape__in=Shape.values), name="piece_shape_known"),
            models.CheckConstraint(condition=~Q(shape="line") | Q(entry__isnull=False), name="piece_line_has_an_entry"),
            models.UniqueConstraint(
                fields=["story", "entry"], condition=Q(entry__isnull=False), name="piece_entry_once_a_story"
            ),
        ]

    def __str__(self) -> str:
        return self.text or str(self.entry or self.get_shape_display())


class RecordRun(models.Model):
    """One making of a build's record as a PDF, beside the server's work. Its file is kept for some days."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    build = models.ForeignKey(Build, on_delete=models.CASCADE, related_name="+")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    keeps = models.JSONField(default=list, help_text="What is told of what else stays out")
    done = models.PositiveIntegerField(default=0)
    steps = models.PositiveIntegerField(default=1)
    failed = models.CharField(max_length=300, blank=True)
    pages = models.PositiveIntegerField(null=True)
    finished_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-at"]
        constraints = [models.CheckConstraint(condition=Q(done__lte=F("steps")), name="record_run_done_within_steps")]

    def __str__(self) -> str:
        return f"Record of {self.build}"

    def get_absolute_url(self) -> str:
        return reverse("buildlog:record_run", args=[self.pk])
