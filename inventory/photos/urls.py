"""Addresses of photos."""

from django.urls import path, re_path

from . import views

urlpatterns = [
    # /photos/
    re_path(r"^photos/of/(?P<kind>part|place)/(?P<number>[0-9]{1,18})/$", views.add, name="photos_add"),
    path("photos/<uuid:uid>/", views.detail, name="photos_detail"),
    path("photos/<uuid:uid>/shift/", views.shift, name="photos_shift"),
    path("photos/<uuid:uid>/delete/", views.delete, name="photos_delete"),
    path("photos/<uuid:uid>/bring-back/", views.bring_back, name="photos_bring_back"),
    re_path(r"^photos/(?P<uid>[0-9a-f-]{36})/(?P<size>large|small|whole)\.webp$", views.file, name="photos_file"),
]
