"""Addresses of what keeps a phone working without signal."""

from django.urls import path, re_path

from . import views, views_sync

urlpatterns = [
    path("sw.js", views.worker, name="worker"),
    path("manifest.webmanifest", views.manifest, name="manifest"),
    path("offline/", views.offline, name="offline"),
    path("offline/index/", views.index, name="index"),
    path("offline/index/rows/", views.index_rows, name="index_rows"),
    path("phone/", views.phone, name="phone"),
    path("phone/waiting/", views_sync.waiting_page, name="waiting"),
    path("scan/run/", views.run, name="scan_run"),
    path("sync/hello/", views_sync.hello, name="hello"),
    path("sync/photo/<uuid:number>/", views_sync.photo, name="photo_ahead"),
    path("sync/originals/", views_sync.originals, name="originals"),
    re_path(r"^sync/originals/(?P<digest>[0-9a-f]{64})/$", views_sync.original, name="original"),
]
