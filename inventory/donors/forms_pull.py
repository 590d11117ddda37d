"""What is asked for beside the donor when a part comes off: one screen."""

from functools import partial

from django import forms
from django.urls import reverse

from inventory.labels.queries import pick_place
from inventory.parts.forms import MoveForm, place_field
from inventory.parts.models import Condition, Part, PartSide
from inventory.parts.queries import last_places
from inventory.photos.forms import OptionalPhotos
from inventory.places.models import Kind, Location
from inventory.places.queries import as_choice
from inventory.web.picker import PickField

from . import queries
from .calc.bagged import MOST_LINES, read_bag
from .calc.zones import zone_of
from .models import Donor, Want, Zone


class PullForm(MoveForm):
    side = forms.ChoiceField(
        label="Side", choices=[("", "None"), *PartSide.choices[1:]], required=False, widget=forms.RadioSelect
    )
    condition = forms.ChoiceField(
        label="Condition", choices=Condition.choices, initial=Condition.GOOD, widget=forms.RadioSelect
    )
    zone = forms.ChoiceField(
        label="Where on it", required=False, widget=forms.RadioSelect, choices=[("", "As the name says"), *Zone.choices]
    )
    before = OptionalPhotos(label="Photos before, still on it")
    after = OptionalPhotos(label="Photos after, off it")
    before_kept = forms.CharField(required=False, widget=forms.HiddenInput)
    after_kept = forms.CharField(required=False, widget=forms.HiddenInput)
    bagged = forms.CharField(
        label="Its fasteners, bagged",
        required=False,
        max_length=1000,
        widget=forms.Textarea({"rows": 2, "placeholder": "6 M8×25 hex\n6 M8 washer", "autocapitalize": "none"}),
        help_text="How many of what, a line each. They get a bag of their own that stays with the part.",
    )
    back = forms.CharField(
        label="For putting it back",
        required=False,
        max_length=2000,
        widget=forms.Textarea({"rows": 2}),
        help_text="Order, shims, torque, which way round.",
    )

    def __init__(self, *args, person, donor: Donor, want: Want | None = None, **kwargs):
        super().__init__(*args, **kwargs)
        del self.fields["note"]
        self.donor = donor
        self.fields["thing"] = PickField(
            search=partial(queries.pick_to_pull, donor),
            get=partial(queries.get_thing, donor),
            label="What",
            suggest_url=reverse("inventory:donors_pick", args=[donor.pk]),
            placeholder="Name or part number",
            first=queries.guesses(donor),
        )
        place = self.fields["place"] = place_field("Where it goes now", person, but=donor.location)
        place.search, place.widget.suggest_url = pick_place, reverse("inventory:labels_pick_place")
        self._offer_bench_first(person)
        if want:
            self.initial |= {"thing": f"{queries.WANT}{want.pk}", "quantity": want.left, "side": want.side}
            if all(choice.value != self.initial["thing"] for choice in self.fields["thing"].widget.choices):
                self.fields["thing"].offer([queries.as_want_choice(want), *self.fields["thing"].widget.choices])

    def sent(self) -> tuple[str, ...]:
        """What was typed and ticked, whatever it means by now."""
        picked = ("thing", "thing_text", "place", "place_text")
        names = (*picked, "side", "quantity", "condition", "zone", "back", "bagged")
        return (str(self.donor.pk), *(self.data.get(name, "").strip() for name in names))

    def _offer_bench_first(self, person) -> None:
        """On the bench, unless something else is said."""
        bench = Location.objects.current().filter(kind=Kind.BENCH).in_order().first()
        others = [place for place in last_places(person, but=self.donor.location) if place != bench]
        some = [place for place in [bench, *others] if place][:4]
        self.fields["place"].offer([as_choice(place) for place in some])
        if bench:
            self.initial.setdefault("place", bench.pk)

    def clean_bagged(self):
        bagged = read_bag(self.cleaned_data["bagged"])
        if len(bagged) > MOST_LINES:
            raise forms.ValidationError(f"At most {MOST_LINES} kinds go in one bag.")
        return bagged

    def clean_place(self):
        place = self.cleaned_data["place"]
        if place == self.donor.location:
            raise forms.ValidationError("It is on the donor already. Pick where it goes.")
        return place

    def clean(self):
        data = super().clean()
        thing = data.get("thing")
        if thing:
            data["side"] = data.get("side") or thing.side
            data["name"] = without_side(thing.name, thing.side, data["side"])
            data["zone"] = (
                data.get("zone")
                or (thing.want.zone if thing.want else "")
                or zone_of(data["name"])
                or queries.like_before(data["name"])
            )
            like = thing.like or Part.objects.current().filter(name__iexact=data["name"]).first()
            data["like"] = like
            if like:
                self.check_whole(like, data.get("quantity"))
            elif (quantity := data.get("quantity")) is not None and quantity != int(quantity):
                self.add_error("quantity", "A new part is counted in whole pieces.")
        return data


def without_side(name: str, was: str, side: str) -> str:
    """'Hinge, left' that turns out to be the right one is a 'Hinge'."""
    return name.removesuffix(f", {was}") if was and was != side else name
