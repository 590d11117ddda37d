import pytest
from django.urls import reverse

from inventory.web import nav

pytestmark = pytest.mark.django_db
FITS = 5  # under a thumb, each wide enough to be hit


def test_a_phones_bar_has_at_most_five_places():
    assert 3 <= len([item for item in nav.bar() if not item.desk_only]) <= FITS


def test_what_stands_on_the_rail_of_a_desk_alone_is_on_the_shop_page(as_owner):
    page = as_owner.get(reverse("inventory:shop")).text
    for item in nav.bar():
        if item.desk_only:
            assert f'href="{reverse(item.url_name)}"' in page, item.label
