"""The address of the shop's instruments."""

from django.urls import path

from . import views

urlpatterns = [
    path("shop/instruments/", views.instruments, name="instruments"),
]
