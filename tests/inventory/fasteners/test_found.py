"""The same fastener is found however it is typed."""

import pytest

from inventory.fasteners.actions import tell
from inventory.fasteners.calc.reading import parse
from inventory.finding.queries import find
from tests.factories import make_part, make_place

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("typed", ["M8x25", "m8×25", "M8 x 25", "M8x1.25x25", "M8x25 hex 8.8", "8.8 m8x25"])
@pytest.mark.parametrize("name", ["M8x25 hex 8.8", "M8×1.25×25 hex bolt 8.8", "Bolt M8 x 25, hex head, class 8.8"])
def test_a_bolt_is_found_however_it_is_typed(name, typed):
    part = make_part(name)
    make_part("M8x30 hex 10.9")
    assert [answer.ref for answer in find(typed).answers] == [part.pk]


def test_what_a_person_said_it_is_is_found_too():
    part = make_part("Hatch bolt")
    tell(part=part, fastener=None)
    assert not find("M6x16").answers
    tell(part=part, fastener=parse("M6x16 hex").fastener)
    assert [answer.ref for answer in find("M6x16").answers] == [part.pk]


def test_find_leads_on_to_what_would_do_for_a_fastener_and_for_nothing_else(as_owner):
    make_part("M8x30 hex 8.8", holds={make_place(): 3})
    assert "What would do for M8×1.25×25 hex bolt 8.8" in as_owner.get("/find/?q=hex+M8+x+25+8.8").text
    assert "What would do" not in as_owner.get("/find/?q=hinge").text
