"""The cast: an owner, a hand, a guest, each with a client that is signed in; and a stranger who is not."""

import pytest
from django.test import Client
from hypothesis import settings as hypothesis_settings

from .factories import make_person

# Speed is measured in the bench; a busy machine fails no test.
hypothesis_settings.register_profile("gusset", deadline=None)
hypothesis_settings.load_profile("gusset")


@pytest.fixture
def owner(db):
    return make_person("owner", name="Olga")


@pytest.fixture
def hand(db):
    return make_person("hand", name="Harald")


@pytest.fixture
def guest(db):
    return make_person("guest", name="Gerda")


def _signed_in(person) -> Client:
    client = Client()
    client.force_login(person)
    return client


@pytest.fixture
def as_owner(owner):
    return _signed_in(owner)


@pytest.fixture
def as_hand(hand):
    return _signed_in(hand)


@pytest.fixture
def as_guest(guest):
    return _signed_in(guest)


@pytest.fixture
def stranger(owner):
    """Not signed in, at a shop that is set up: without an owner every page leads to the set-up."""
    return Client()
