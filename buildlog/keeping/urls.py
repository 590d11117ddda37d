"""Addresses of what keeps the shop safe."""

from django.urls import path, re_path

from . import views

BACKUP = r"^shop/kept-safe/(?P<name>gusset-[0-9]{8}-[0-9]{6}\.tar)"

urlpatterns = [
    # /shop/kept-safe/
    path("shop/kept-safe/", views.keeping, name="keeping"),
    path("shop/kept-safe/start/", views.start, name="keeping_start"),
    path("shop/kept-safe/doctor/", views.examine, name="keeping_doctor"),
    path("shop/kept-safe/coming-back/", views.coming, name="keeping_coming_back"),
    re_path(rf"{BACKUP}$", views.download, name="keeping_download"),
    re_path(rf"{BACKUP}/$", views.backup, name="keeping_backup"),
    re_path(rf"{BACKUP}/check/$", views.check_one, name="keeping_check"),
    re_path(rf"{BACKUP}/bring-back/$", views.bring_back, name="keeping_bring_back"),
]
