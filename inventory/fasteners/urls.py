"""Addresses of fasteners."""

from django.urls import path

from . import views, views_find

urlpatterns = [
    # /fasteners/
    path("fasteners/", views.look, name="fasteners_look"),
    path("fasteners/what-is-this/", views_find.what, name="fasteners_what"),
    path("fasteners/will-it-do/", views_find.instead, name="fasteners_instead"),
    # /parts/<number>/fastener/: which fastener a part is
    path("parts/<int:number>/fastener/", views.edit, name="fasteners_edit"),
    path("parts/<int:number>/weigh/", views_find.weigh, name="fasteners_weigh"),
    path("parts/<int:number>/fastener/none/", views.none, name="fasteners_none"),
    path("parts/<int:number>/fastener/again/", views.again, name="fasteners_again"),
]
