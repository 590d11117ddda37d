"""Addresses of places."""

from django.urls import path

from . import views

urlpatterns = [
    # /places/
    path("places/", views.tree, name="places_tree"),
    path("places/<int:number>/", views.detail, name="places_detail"),
]
