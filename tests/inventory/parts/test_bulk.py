"""Many rows at once are the same rows as one by one."""

import pytest
from django.db import IntegrityError, transaction

from inventory.parts.bulk import insert, insert_numbered
from inventory.parts.models import Holding, Part
from tests.factories import make_part, make_place

pytestmark = pytest.mark.django_db


def facts(part: Part) -> dict:
    return {f.name: getattr(part, f.attname) for f in Part._meta.concrete_fields if f.name not in ("id", "created_at")}


def test_what_is_inserted_reads_back_like_what_is_saved():
    donor = make_place("vehicle", name="Corvane estate", short="D1")
    given = {"name": "Hose", "unit": "metres", "keep_at_least": "1.255", "donor": donor, "note": "two\nlines"}
    saved = Part.objects.create(**given)
    many = [Part(**given), Part(**given)]
    insert_numbered(many)
    saved.refresh_from_db()
    assert [facts(Part.objects.get(pk=part.pk)) for part in many] == [facts(saved)] * 2


def test_numbers_go_on_where_they_stood_and_are_never_used_again():
    last = make_part()
    number = last.pk
    last.delete()
    many = [Part(name="A"), Part(name="B")]
    insert_numbered(many)
    after = make_part()
    assert [many[0].pk, many[1].pk, after.pk] == [number + 1, number + 2, number + 3]


def test_the_constraints_hold_all_the_same():
    part, place = make_part(), make_place()
    with pytest.raises(IntegrityError, match="holding_not_negative"), transaction.atomic():
        insert(Holding, ("part", "location", "quantity"), [(part.pk, place.pk, -1)])


def test_nothing_to_insert_is_nothing_done(django_assert_num_queries):
    with django_assert_num_queries(0):
        insert(Holding, ("part", "location", "quantity"), [])
        insert_numbered([])
