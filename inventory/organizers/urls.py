"""Addresses of cabinets of drawers."""

from django.urls import path

from . import views

urlpatterns = [
    path("places/<int:number>/fill/", views.fill, name="organizers_fill"),
]
