"""Who may come in, on which device."""

import hashlib
from datetime import timedelta

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.db.models.functions import Lower
from django.utils import timezone

from . import codes


class Role(models.TextChoices):
    OWNER = "owner", "Owner: everything"
    HAND = "hand", "Hand: logs, moves and adds"
    GUEST = "guest", "Guest: looks"


class PersonManager(BaseUserManager):
    def create_user(self, name: str, password: str | None = None, *, role: str = Role.HAND) -> "Person":
        person = self.model(name=name.strip(), role=role)
        person.set_password(password)
        person.save(using=self._db)
        return person

    def owners(self) -> models.QuerySet["Person"]:
        """Those who can come in and may do everything. There is always one of them, see actions.LastOwner."""
        return self.filter(role=Role.OWNER, is_active=True)

    def get_by_natural_key(self, username: str) -> "Person":
        # Nobody remembers whether they wrote their name with a capital on a cold night.
        return self.get(name__iexact=(username or "").strip())


class Person(AbstractBaseUser):
    name = models.CharField("name", max_length=60, unique=True)
    role = models.CharField(max_length=10, choices=Role.choices, default=Role.HAND)
    is_active = models.BooleanField(default=True)
    joined_at = models.DateTimeField(default=timezone.now, editable=False)

    USERNAME_FIELD = "name"
    REQUIRED_FIELDS: list[str] = []

    objects = PersonManager()

    class Meta:
        verbose_name_plural = "people"
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(
                Lower("name"),
                name="person_name_unique",
                violation_error_message="There is somebody of that name already.",
            ),
            models.CheckConstraint(
                condition=models.Q(role__in=Role.values),
                name="person_role_known",
                violation_error_message="No such role.",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def is_owner(self) -> bool:
        return self.role == Role.OWNER

    @property
    def may_change(self) -> bool:
        return self.role in (Role.OWNER, Role.HAND)


class Device(models.Model):
    """A browser somebody is signed in with. Its number is in the session; a deleted device is signed out."""

    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="devices")
    name = models.CharField(max_length=80)
    added_at = models.DateTimeField(default=timezone.now)
    seen_at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["-seen_at"]

    def __str__(self) -> str:
        return self.name


def digest(token: str) -> str:
    """What is stored of a one-time token: its SHA-256, so that a stolen database lets nobody in."""
    return hashlib.sha256(token.encode()).hexdigest()


class PairingQuerySet(models.QuerySet):
    def open(self) -> "PairingQuerySet":
        return self.filter(used_at=None, expires_at__gt=timezone.now(), person__is_active=True)


class Pairing(models.Model):
    """A one-time invitation: for a phone, shown as a QR code on a screen that is signed in already, or for the desk."""

    LASTS = timedelta(minutes=10)
    LENGTH = 26  # letters of five bits: 130 bits

    digest = models.CharField(max_length=64, unique=True)
    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="+")
    shown_to = models.ForeignKey(Person, on_delete=models.CASCADE, null=True, related_name="+")
    for_desk = models.BooleanField(default=False, help_text="Only good on the shop's own computer")
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True)
    device = models.ForeignKey(Device, on_delete=models.SET_NULL, null=True, related_name="+")

    objects = PairingQuerySet.as_manager()

    def __str__(self) -> str:
        return f"for {self.person}"

    @classmethod
    def issue(cls, person: Person, **fields) -> tuple["Pairing", str]:
        """A fresh invitation and its token, of which only the digest is kept."""
        token = codes.make(cls.LENGTH)
        until = timezone.now() + cls.LASTS
        return cls.objects.create(digest=digest(token), person=person, expires_at=until, **fields), token

    @property
    def left(self) -> timedelta:
        return max(self.expires_at - timezone.now(), timedelta())


class LoginFailure(models.Model):
    """Wrong passwords lately, by name and address; enough of them and that pair must wait."""

    key = models.CharField(max_length=64, unique=True)
    count = models.PositiveIntegerField(default=0)
    last_at = models.DateTimeField(default=timezone.now)

    def __str__(self) -> str:
        return f"{self.count} since {self.last_at:%H:%M}"
