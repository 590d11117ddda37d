"""The front door and the Shop page."""

from django.urls import path

from . import views

urlpatterns = [
    path("", views.front, name="front"),
    path("first-steps/", views.first_steps, name="first_steps"),
    # /shop/
    path("shop/", views.shop, name="shop"),
]
