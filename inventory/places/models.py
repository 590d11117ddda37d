"""Anywhere a part can be: one tree of locations, each with its short address."""

from itertools import pairwise

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils import timezone

from .calc.address import address_key


class Kind(models.TextChoices):
    SITE = "site", "Site"
    CONTAINER = "container", "Container"
    RACK = "rack", "Rack"
    SHELF = "shelf", "Shelf"
    BENCH = "bench", "Bench"
    BIN = "bin", "Bin"
    ORGANIZER = "organizer", "Organizer"
    DRAWER = "drawer", "Drawer"
    VEHICLE = "vehicle", "Vehicle"


class Side(models.TextChoices):
    """Where a place stands in the plan of its parent, seen from the door."""

    NONE = "", "Not on the plan"
    LEFT = "left", "Along the left wall"
    RIGHT = "right", "Along the right wall"
    BACK = "back", "At the back"
    FRONT = "front", "By the door"


@models.CharField.register_lookup
class Within(models.Lookup):
    """`path__within=place.path`: the place and everything in it, by the index on the path.

    As a range, since startswith becomes a LIKE, for which SQLite reads every place there is.
    """

    lookup_name = "within"

    def as_sql(self, compiler, connection):
        path, params = self.process_lhs(compiler, connection)
        after = self.rhs[:-1] + chr(ord(self.rhs[-1]) + 1)  # the first that no longer begins so
        return f"{path} >= %s AND {path} < %s", [*params, self.rhs, *params, after]


class LocationQuerySet(models.QuerySet):
    def current(self) -> "LocationQuerySet":
        """Places that are in use: not retired, and not a cell marked as left unused."""
        return self.filter(retired_at=None, unused=False)

    def under(self, location: "Location") -> "LocationQuerySet":
        """The place itself and everything inside it, at any depth."""
        return self.filter(path__within=location.path)

    def at(self, text: str) -> "LocationQuerySet":
        """The place with this address, however it was typed ('c1 l2 14', 'C1-L2-14')."""
        return self.filter(address_key=address_key(text), retired_at=None)

    def in_order(self) -> "LocationQuerySet":
        return self.order_by("order", "row", "col", "pk")


class Location(models.Model):
    parent = models.ForeignKey("self", on_delete=models.PROTECT, null=True, blank=True, related_name="children")
    kind = models.CharField(max_length=10, choices=Kind.choices)
    name = models.CharField(max_length=80, blank=True)
    short = models.CharField(
        "short name", max_length=12, blank=True, help_text="Its piece of the address, as C1 or L or 14."
    )
    address = models.CharField(max_length=120, editable=False, help_text="Kept with the tree: C1·L2·14")
    address_key = models.CharField(max_length=120, editable=False, db_index=True)
    path = models.CharField(
        max_length=200, editable=False, db_index=True, help_text="/3/17/42/: the way down, as row numbers"
    )
    order = models.IntegerField(default=0)

    # The grid of its children, and the cell it has in the grid of its parent (counted from 0, top left).
    rows = models.PositiveSmallIntegerField(null=True, blank=True)
    cols = models.PositiveSmallIntegerField(null=True, blank=True)
    numbering = models.JSONField(default=dict, blank=True)
    row = models.PositiveSmallIntegerField(null=True, blank=True)
    col = models.PositiveSmallIntegerField(null=True, blank=True)
    row_span = models.PositiveSmallIntegerField(default=1)
    col_span = models.PositiveSmallIntegerField(default=1)
    cell_width = models.PositiveSmallIntegerField("width of a drawer, mm", null=True, blank=True)
    cell_height = models.PositiveSmallIntegerField("height of a drawer, mm", null=True, blank=True)
    unused = models.BooleanField(default=False)
    side = models.CharField(max_length=10, choices=Side.choices, blank=True, default=Side.NONE)

    away = models.BooleanField("away from the shop", default=False)
    note = models.TextField(blank=True)
    counted_at = models.DateTimeField(null=True, blank=True, editable=False)
    created_at = models.DateTimeField(default=timezone.now, editable=False)
    retired_at = models.DateTimeField(null=True, blank=True, editable=False)

    objects = LocationQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["address_key"],
                condition=Q(retired_at=None) & ~Q(short=""),
                name="location_address_unique",
                violation_error_message="Another place has this address already.",
            ),
            models.CheckConstraint(condition=Q(kind__in=Kind.values), name="location_kind_known"),
            models.CheckConstraint(condition=Q(row_span__gte=1, col_span__gte=1), name="location_spans_a_cell"),
            models.CheckConstraint(condition=~Q(name="") | ~Q(short=""), name="location_has_a_name"),
            models.UniqueConstraint(
                fields=["parent", "row", "col"],
                condition=Q(retired_at=None),
                name="location_one_to_a_cell",
                violation_error_message="That cell is taken.",
            ),
        ]

    def __str__(self) -> str:
        return self.address or self.name

    def get_absolute_url(self) -> str:
        return reverse("inventory:places_detail", args=[self.where])

    @property
    def title(self) -> str:
        """What a person calls it: its name, or kind and short where it has none ('Bin 14')."""
        return self.name or f"{self.get_kind_display()} {self.short}"

    @property
    def is_vehicle(self) -> bool:
        return self.kind == Kind.VEHICLE

    @property
    def divided(self) -> bool:
        """Whether things lie in the places inside it rather than in itself."""
        with_cells = self.kind == Kind.SHELF and bool(self.cols)
        return with_cells or self.kind in (Kind.SITE, Kind.CONTAINER, Kind.RACK, Kind.ORGANIZER)

    @property
    def where(self) -> str:
        """What stands for it in its page's address: C1·L2·14; its number where that would be unclear."""
        clear = self.short and not self.retired_at and not self.address_key.isdecimal()
        return self.address_key if clear else str(self.pk)

    def ancestor_ids(self) -> list[int]:
        """Row numbers from the root down to the parent."""
        return [int(piece) for piece in self.path.strip("/").split("/")[:-1]]

    def way_down(self) -> list["Location"]:
        """The places from the root to this one, in one query; after it each knows its parent."""
        found = Location.objects.in_bulk(self.ancestor_ids()) if self.parent_id else {}
        way = [*(found[number] for number in self.ancestor_ids()), self]
        for above, place in pairwise(way):
            place.parent = above
        return way


class LocationChange(models.Model):
    """One change to the tree in words, with what it takes to undo it: the history of a place."""

    location = models.ForeignKey(Location, on_delete=models.SET_NULL, null=True, related_name="changes")
    what = models.CharField(max_length=200)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    edits = models.JSONField(default=list, help_text="[place, fields before, fields after] for each place")
    made = models.JSONField(default=list, help_text="Places that the change made.")
    undone_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(what=""), name="location_change_says_what"),
        ]

    def __str__(self) -> str:
        return self.what


class FormerAddress(models.Model):
    """An address a place had before it was moved or renamed; it still leads there."""

    location = models.ForeignKey(Location, on_delete=models.CASCADE, related_name="former_addresses")
    address = models.CharField(max_length=120)
    address_key = models.CharField(max_length=120, db_index=True)
    until = models.DateTimeField(default=timezone.now)
    change = models.ForeignKey(LocationChange, on_delete=models.CASCADE, null=True, related_name="former")

    def __str__(self) -> str:
        return self.address
