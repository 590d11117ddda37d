"""The front door and the Shop page."""

from django.urls import path

from . import views

urlpatterns = [
    path("", views.front, name="front"),
    # /shop/
    path("shop/", views.shop, name="shop"),
]
