"""Addresses of places."""

from django.urls import path

from . import views, views_edit, views_setup

urlpatterns = [
    # /at/: a place by its address (C1·L2·14) or its number
    path("at/<str:where>/", views.detail, name="places_detail"),
    # /places/
    path("places/", views.tree, name="places_tree"),
    path("places/undo/<int:number>/", views.undo, name="places_undo"),
    # /places/new/
    path("places/new/", views_setup.choose, name="places_new"),
    path("places/new/container/", views_setup.container, name="places_new_container"),
    path("places/new/rack/", views_setup.rack, name="places_new_rack"),
    path("places/new/organizer/", views_setup.organizer, name="places_new_organizer"),
    path("places/new/other/", views_setup.other, name="places_new_other"),
    # /places/<number>/
    path("places/<int:number>/edit/", views_edit.edit, name="places_edit"),
    path("places/<int:number>/move/", views_edit.move, name="places_move"),
    path("places/<int:number>/layout/", views_edit.layout, name="places_layout"),
    path("places/<int:number>/arrange/", views.arrange, name="places_arrange"),
    path("places/<int:number>/order/", views.order, name="places_order"),
    path("places/<int:number>/retire/", views_edit.retire, name="places_retire"),
    path("places/<int:number>/bring-back/", views_edit.bring_back, name="places_bring_back"),
    path("places/<int:number>/unused/", views_edit.unused, name="places_unused"),
    path("places/<int:number>/join/", views_edit.join, name="places_join"),
    path("places/<int:number>/split/", views_edit.split, name="places_split"),
]
