"""What stays out of a story unless it is ticked, and what is said about it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.telling import actions, queries
from buildlog.telling.calc.held import Known, hold_back
from buildlog.telling.models import Story
from buildlog.telling.told import Line, tell
from buildlog.worklog.actions import log
from inventory.photos.models import Photo
from inventory.places.models import Location

from .shop import Nights

KNOWN = Known(
    addresses=frozenset({"C1", "C1·L2·14", "H2·B3", "7"}),
    place_names=("Ana’s workshop (mill)", "Barn"),
    numbers=("HX-44170-2",),
    amounts=("1234.50", "650"),
    people=("Sven", "Ana Berg", "Ana", "Berg", "Jack"),
    private=("Quarrel about the noise",),
)


@pytest.mark.parametrize(
    ("text", "told", "kind"),
    [
        ("Pulled it from C1·L2·14.", "Pulled it.", "address"),
        ("It lies in c1-l2-14 now", "It lies now", "address"),
        ("Took 6 from H2·B3, 9 left", "Took 6, 9 left", "address"),
        ("Back to C1 with it", "Back with it", "address"),
        ("A place that is no longer: Q9·X1·3", "A place that is no longer:", "address"),
        ("Milled at Ana’s workshop (mill)", "Milled at another place", "address"),
        ("It stands in the Barn", "It stands in another place", "address"),
        ("Jack held the lamp", "Somebody held the lamp", "person"),
        ("The plate says HX 44170 2", "The plate says …", "number"),
        ("Number 1M8GDM9AXKP042788 on the door", "Number … on the door", "number"),
        ("The blade was 45 €", "The blade was …", "price"),
        ("€1,250.00 for the oven", "… for the oven", "price"),
        ("It cost 45 in all", "It cost … in all", "price"),
        ("Paid 650 for it", "Paid … for it", "price"),
        ("They wanted 1234.50", "They wanted …", "price"),
        ("sven held the hatch", "Somebody held the hatch", "person"),
        ("Ana Berg’s mill", "Somebody’s mill", "person"),
        ("Then: quarrel about the noise", "Then:", "private"),
    ],
)  # fmt: skip
def test_it_is_held_back(text, told, kind):
    assert hold_back(text, KNOWN)[0] == told
    assert [one.kind for one in hold_back(text, KNOWN)[1]] == [kind]
    assert hold_back(text, KNOWN, {"address", "number", "price", "person", "private"}) == (text, [])


@pytest.mark.parametrize(
    "text",
    [
        "M8×25 at 24 Nm, 650 mm from the edge",
        "Cut 7 pieces, 2 × 14 mm",
        "The banana is not a person and Svenson is another",
        "Line one\n\nLine two",
        "Swept the barn, put the jack under the sill",
        "Oven at 250 °C for 45 min",
        "",
    ],
)
def test_the_rest_is_left_as_it_is(text):
    assert hold_back(text, KNOWN) == (text, [])


@given(st.text(max_size=200))
def test_no_known_secret_survives_in_any_text(text):
    told, _ = hold_back(f"{text} C1·L2·14 {text} HX-44170-2 {text} Quarrel about the noise {text}", KNOWN)
    assert "HX-44170-2" not in told
    assert "Quarrel about the noise" not in told


@pytest.fixture
def story(owner):
    nights = Nights(owner)
    return actions.make(build=nights.build, by=owner, takes="nights", sessions=nights.sessions)


def texts(story) -> str:
    return "\n".join(block.text for block in tell(Story.objects.get(pk=story.pk)).blocks if hasattr(block, "text"))


@pytest.mark.django_db
def test_a_line_kept_out_of_public_stays_out_until_it_is_ticked(story):
    assert "Quarrel" not in texts(story)
    story.with_private = True
    story.save()
    assert "Quarrel about the noise" in texts(story)


@pytest.mark.django_db
def test_marking_a_line_takes_it_out_of_words_written_before(story):
    words = story.pieces.get(drafts="plan")
    actions.write(piece=words, text="First board laid, and then some.")
    assert "First board laid" in texts(story)
    line = story.pieces.get(entry__text="First board laid").entry
    line.private = True
    line.save()
    assert "First board laid" not in texts(story)


@pytest.mark.django_db
def test_a_photo_not_for_the_public_stays_out(story):
    Photo.objects.update(public=False)
    assert tell(story).pictures == []
    story.with_private = True
    assert len(tell(story).pictures) == 2


@pytest.mark.django_db
def test_where_a_part_lay_is_out_of_what_the_program_wrote_even_by_one_letter(story):
    Location.objects.filter(short="B7").update(short="W", address="W", address_key="W")
    entry = story.pieces.get(entry__kind="part").entry
    entry.says = entry.says.replace("C1·B7", "W")
    entry.save()
    (line,) = [block for block in tell(story).blocks if isinstance(block, Line) and "Hinge pin" in block.text]
    assert line.text == "Fitted 2 × Hinge pin."
    story.with_addresses = True
    (line,) = [block for block in tell(story).blocks if isinstance(block, Line) and "Hinge pin" in block.text]
    assert line.text == "Fitted 2 × Hinge pin from W to HB-64."


@pytest.mark.django_db
def test_the_preview_says_what_was_held_back(story, as_owner, owner):
    log(by=owner, session=story.sessions.first(), at=story.sessions.first().started_at, text="Olga paid 45 €")
    actions.take_up(story=story, entries=queries.fresh(story))
    shown = as_owner.get(f"/tell/{story.pk}/preview/").text
    for says in ("1 line or photo kept out of public", "1 price", "1 name of a person", "1 address of a place"):
        assert says in shown
    assert "Somebody paid …" in shown
    as_owner.post(f"/tell/{story.pk}/preview/", {"with_prices": "on", "with_people": "on"})
    assert "Olga paid 45 €" in as_owner.get(f"/tell/{story.pk}/preview/").text
