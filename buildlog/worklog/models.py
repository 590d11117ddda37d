"""One night's work, the lines of its log, and the hours each task had of it."""

import re
import uuid

from django.conf import settings
from django.db import models
from django.db.models import Count, F, Q
from django.urls import reverse
from django.utils import timezone

from buildlog.builds.models import Build
from buildlog.decisions.models import Decision
from buildlog.tasks.models import Change, Task
from inventory.parts.models import Batch
from inventory.photos.models import Photo

from .readings import PARTS_OF_AN_INCH, Reading, reading

LONG, MANY_LINES = 700, 12  # of a line's text, in letters and lines; more is folded in a list


class SessionQuerySet(models.QuerySet):
    def running(self) -> "SessionQuerySet":
        return self.filter(ended_at=None)

    def ended(self) -> "SessionQuerySet":
        return self.filter(ended_at__isnull=False)

    def newest_first(self) -> "SessionQuerySet":
        return self.order_by("-started_at", "-pk")

    def begun_by(self, at) -> "SessionQuerySet":
        """Those begun at a moment (or an expression). The first is its night: the one on then, or the one before."""
        return self.filter(started_at__lte=at).newest_first()

    def with_counts(self) -> "SessionQuerySet":
        """Adds `line_count`, of lines that were not struck; with the people who were there."""
        kept = Count("entries", filter=Q(entries__struck_at=None))
        return self.annotate(line_count=kept).prefetch_related("people")


class WorkSession(models.Model):
    """From coming in to going home. Times are instants: midnight and a change of the clocks are nothing special."""

    build = models.ForeignKey(Build, on_delete=models.CASCADE, related_name="sessions")
    number = models.PositiveIntegerField(editable=False, help_text="Counted up within its build")
    started_at = models.DateTimeField(default=timezone.now)
    start_guessed = models.BooleanField(default=False, editable=False, help_text="Nobody started it")
    ended_at = models.DateTimeField(null=True, blank=True)
    end_guessed = models.BooleanField(default=False, editable=False, help_text="Nobody stopped it")
    from_memory = models.BooleanField(default=False, editable=False, help_text="Written down afterwards")
    people = models.ManyToManyField(settings.AUTH_USER_MODEL, related_name="+")
    done = models.TextField(blank=True, help_text="What was done, in words")
    stopping_point = models.TextField(blank=True, help_text="Where it stopped, and what first, next time")
    bench_photo = models.ForeignKey(Photo, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")

    objects = SessionQuerySet.as_manager()

    class Meta:
        ordering = ["-started_at", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["build", "number"], name="session_number_once_a_build"),
            models.UniqueConstraint(fields=["build"], condition=Q(ended_at=None), name="session_one_running_a_build"),
            models.CheckConstraint(
                condition=Q(ended_at=None) | Q(ended_at__gte=F("started_at")), name="session_ends_after_it_starts"
            ),
        ]
        indexes = [models.Index(fields=["build", "started_at"], name="session_by_build_and_start")]

    def __str__(self) -> str:
        return f"Session {self.number}"

    def get_absolute_url(self) -> str:
        return reverse("buildlog:sessions_detail", args=[self.pk])

    @property
    def is_running(self) -> bool:
        return self.ended_at is None

    @property
    def in_short(self) -> str:
        """Where it stopped, or what was done, on one line."""
        return " · ".join((self.stopping_point or self.done).splitlines())

    @property
    def since(self):
        """When it began, to the minute, as it is shown."""
        return self.started_at.replace(second=0, microsecond=0)

    @property
    def length(self):
        """How long it was, or has been so far: from the one time that is shown to the other."""
        return (self.ended_at or timezone.now()).replace(second=0, microsecond=0) - self.since


class Kind(models.TextChoices):
    """What a line of the log is. A person picks among the first four; the rest come of what is done."""

    NOTE = "note", "Note"
    MEASURE = "measure", "Measure"
    SNAG = "snag", "Snag"
    PART = "part", "Part"
    TASK = "task", "Task"
    DECISION = "decision", "Decision"


class Happened(models.TextChoices):
    """What happened to a part. Each is a move in the ledger."""

    TOOK = "took", "Took"
    FITTED = "fitted", "Fitted"
    USED = "used", "Used up"
    BACK = "back", "Put back"
    MADE = "made", "Made"
    BROKEN = "broken", "Found broken"


class Entry(models.Model):
    """One line of the log. Its uid is made by the client: a second arrival changes nothing.

    `text` is what the person wrote, `says` what the program adds ('Took 6 × M8×25 from H2·B3. 9 left.').
    """

    uid = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    session = models.ForeignKey(WorkSession, on_delete=models.CASCADE, related_name="entries")
    kind = models.CharField(max_length=8, choices=Kind.choices, default=Kind.NOTE)
    text = models.TextField(blank=True)
    says = models.TextField(blank=True, editable=False)
    at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    task = models.ForeignKey(Task, on_delete=models.SET_NULL, null=True, blank=True, related_name="entries")
    photos = models.ManyToManyField(Photo, related_name="+")

    # Part: the moves it made. Task: the change it was. Decision: which. Snag: the task it became.
    batch = models.OneToOneField(Batch, on_delete=models.SET_NULL, null=True, editable=False, related_name="+")
    happened = models.CharField(max_length=8, choices=Happened.choices, blank=True, editable=False)
    change = models.OneToOneField(Change, on_delete=models.SET_NULL, null=True, editable=False, related_name="+")
    decision = models.ForeignKey(Decision, on_delete=models.SET_NULL, null=True, editable=False, related_name="+")
    became = models.ForeignKey(Task, on_delete=models.SET_NULL, null=True, editable=False, related_name="+")

    # Measure: the sizes as typed, the unit of a bare number, how it was measured, inches to which part.
    measured = models.CharField(max_length=200, blank=True, editable=False)
    unit = models.CharField(max_length=2, blank=True, choices=[("mm", "mm"), ("in", "inch")])
    how = models.CharField(max_length=12, blank=True)
    round_to = models.PositiveSmallIntegerField(choices=PARTS_OF_AN_INCH, default=32)
    plus_minus = models.CharField(max_length=20, blank=True, help_text="As typed; empty for the instrument's own")

    clip = models.CharField("clip", max_length=80, blank=True)
    clip_in = models.CharField("from", max_length=12, blank=True)
    clip_out = models.CharField("to", max_length=12, blank=True)
    private = models.BooleanField("keep out of public", default=False)

    edited_at = models.DateTimeField(null=True, editable=False)
    struck_at = models.DateTimeField(null=True, editable=False)

    class Meta:
        ordering = ["-at", "-pk"]
        verbose_name_plural = "entries"
        constraints = [
            models.CheckConstraint(condition=Q(kind__in=Kind.values), name="entry_kind_known"),
            models.CheckConstraint(condition=~Q(kind="measure") | ~Q(measured=""), name="entry_measure_has_a_size"),
            models.CheckConstraint(
                condition=~Q(kind="part") | Q(happened__in=Happened.values), name="entry_part_says_what_happened"
            ),
        ]
        indexes = [
            models.Index(fields=["session", "at"], name="entry_by_session_and_time"),
            models.Index(fields=["task", "at"], name="entry_by_task_and_time"),
            models.Index(fields=["at", "id"], name="entry_by_time"),
            models.Index(fields=["by", "id"], condition=Q(kind="measure"), name="entry_measures_by_person"),
        ]

    def __str__(self) -> str:
        return " ".join(filter(None, (self.says, self.text))) or self.get_kind_display()

    @property
    def reading(self) -> Reading | None:
        """The measure in both systems, with how well it is known."""
        if not self.measured:
            return None
        return reading(
            self.text, self.measured, unit=self.unit, how=self.how, plus_minus=self.plus_minus, round_to=self.round_to
        )

    @property
    def folded(self) -> tuple[str, str]:
        """The text, and the rest of it where it is so long that a list of lines folds it."""
        text = self.text
        if len(text) <= LONG and text.count("\n") < MANY_LINES:
            return text, ""
        head = "\n".join(text[:LONG].split("\n")[:MANY_LINES])
        return head, text[len(head) :].lstrip("\n")

    @property
    def kept_words(self) -> str:
        """The text as it is understood away from its line: a measure's bare numbers with their unit."""
        bare = not any(c.isalpha() or c in "\"'″”′’" for c in re.sub("x|by", "", self.measured, flags=re.IGNORECASE))
        return self.reading.words if self.measured and bare else self.text

    @property
    def taken_back(self) -> bool:
        """Whether what it did to parts or to a task was undone since."""
        return bool((self.batch_id and self.batch.undone) or (self.change_id and self.change.undone_at))

    @property
    def stands(self) -> bool:
        """Whether it did something to parts or to a task that was not undone since."""
        return bool((self.batch_id or self.change_id) and not self.taken_back)

    @property
    def between_nights(self) -> bool:
        """As BETWEEN_NIGHTS, of this line."""
        return self.kind == Kind.DECISION and bool(self.session.ended_at and self.at > self.session.ended_at)

    @property
    def clip_said(self) -> str:
        """'0042, 1:10 to 1:45'."""
        times = " to ".join(filter(None, (self.clip_in, self.clip_out)))
        return ", ".join(filter(None, (self.clip, times)))


# A decision may be taken when nobody works: it stands with the night before, at its own time.
BETWEEN_NIGHTS = Q(kind=Kind.DECISION, session__ended_at__lt=F("at"))


class EntryText(models.Model):
    """What an entry said before it was changed."""

    entry = models.ForeignKey(Entry, on_delete=models.CASCADE, related_name="earlier")
    text = models.TextField(blank=True)
    until = models.DateTimeField(default=timezone.now, help_text="When it was changed")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["-until", "-pk"]

    def __str__(self) -> str:
        return self.text


class TaskTime(models.Model):
    """How long a task had of a session."""

    session = models.ForeignKey(WorkSession, on_delete=models.CASCADE, related_name="times")
    task = models.ForeignKey(Task, on_delete=models.CASCADE, related_name="times")
    minutes = models.PositiveIntegerField()

    class Meta:
        ordering = ["-minutes", "pk"]
        constraints = [models.UniqueConstraint(fields=["session", "task"], name="task_time_once_a_session")]

    def __str__(self) -> str:
        return f"{self.minutes} min"
