"""Addresses of the inventory, one line a feature."""

from inventory.demo.urls import urlpatterns as demo
from inventory.donors.urls import urlpatterns as donors
from inventory.fasteners.urls import urlpatterns as fasteners
from inventory.finding.urls import urlpatterns as finding
from inventory.importing.urls import urlpatterns as importing
from inventory.labels.urls import urlpatterns as labels
from inventory.organizers.urls import urlpatterns as organizers
from inventory.parts.urls import urlpatterns as parts
from inventory.people.urls import urlpatterns as people
from inventory.photos.urls import urlpatterns as photos
from inventory.places.urls import urlpatterns as places
from inventory.shop.urls import urlpatterns as shop

app_name = "inventory"

urlpatterns = [
    *shop,
    *people,
    *places,
    *parts,
    *photos,
    *donors,
    *fasteners,
    *finding,
    *importing,
    *labels,
    *organizers,
    *demo,
]
