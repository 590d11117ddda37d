"""Addresses of what keeps the shop safe."""

from django.urls import path, re_path

from . import views

urlpatterns = [
    # /shop/kept-safe/
    path("shop/kept-safe/", views.keeping, name="keeping"),
    path("shop/kept-safe/start/", views.start, name="keeping_start"),
    path("shop/kept-safe/doctor/", views.examine, name="keeping_doctor"),
    re_path(r"^shop/kept-safe/(?P<name>gusset-[0-9]{8}-[0-9]{6}\.tar)$", views.download, name="keeping_download"),
]
