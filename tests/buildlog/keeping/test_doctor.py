from decimal import Decimal

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from buildlog.keeping import actions, doctor
from inventory.parts.models import Holding
from inventory.photos import files
from inventory.photos.actions import add
from inventory.places.models import Location
from tests.factories import make_part, make_place
from tests.inventory.photos.hostile import image

pytestmark = pytest.mark.django_db(transaction=True)


def bad() -> set[str]:
    return {finding.text for finding in doctor.examine() if finding.level == doctor.BAD}


def test_a_well_shop_is_said_to_be_well(settings, tmp_path, capsys):
    settings.MEDIA_ROOT = tmp_path
    make_part(holds={make_place(): 2})
    actions.make()
    call_command("doctor")
    assert "The ledger balances" in capsys.readouterr().out


def test_each_illness_is_named_with_its_cure(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    photo = add(data=image(), part=make_part(holds={make_place(): 2}), by=None)
    files.remove(photo.pk)
    Holding.objects.update(quantity=Decimal(9))
    for _, path in actions.backups():
        path.unlink()
    assert bad() >= {"1 photos have lost their file.", "1 holdings differ from their moves.", "There is no backup."}
    with pytest.raises(CommandError, match="checks found something bad"):
        call_command("doctor")


def test_a_thing_in_a_place_that_is_out_of_use_is_named():
    tub = make_place("bin", short="B9")
    make_part("Hinge", holds={tub: 2})
    Location.objects.filter(pk=tub.pk).update(retired_at=timezone.now())
    assert bad() >= {"Hinge is in B9, which is out of use."}


def test_the_page_says_the_same(as_owner, as_hand):
    assert "The ledger balances" in as_owner.get("/shop/kept-safe/doctor/").text
    assert as_hand.get("/shop/kept-safe/doctor/").status_code == 403
