"""Addresses of fasteners."""

from django.urls import path

from . import views

urlpatterns = [
    # /fasteners/
    path("fasteners/", views.look, name="fasteners_look"),
    # /parts/<number>/fastener/: which fastener a part is
    path("parts/<int:number>/fastener/", views.edit, name="fasteners_edit"),
    path("parts/<int:number>/fastener/none/", views.none, name="fasteners_none"),
    path("parts/<int:number>/fastener/again/", views.again, name="fasteners_again"),
]
