"""Addresses of labels, of scanning, and of putting things in one after another."""

from django.urls import path

from . import views, views_put, views_scan

urlpatterns = [
    # What symbols hold. Upper case, because a symbol of capitals and digits needs fewer modules; both cases lead on.
    path("L/<str:code>", views_scan.resolve, name="labels_resolve"),
    path("l/<str:code>", views_scan.resolve),
    path("scan/", views_scan.scan, name="scan"),
    # /labels/
    path("labels/", views.home, name="labels_home"),
    path("labels/base/", views.base, name="labels_base"),
    path("labels/ruler/", views.ruler_pdf, name="labels_ruler"),
    path("labels/print/", views.print_labels, name="labels_print"),
    path("labels/print/add/", views.add, name="labels_add"),
    path("labels/run/<uuid:uid>/", views.run, name="labels_run"),
    path("labels/run/<uuid:uid>/labels.pdf", views.run_pdf, name="labels_pdf"),
    path("labels/<str:code>/", views_scan.detail, name="labels_detail"),
    path("labels/<str:code>/stick/", views_scan.stick, name="labels_stick"),
    path("labels/<str:code>/peel/", views_scan.peel, name="labels_peel"),
    path("labels/<str:code>/retire/", views_scan.retire, name="labels_retire"),
    path("labels/<str:code>/take-up/", views_scan.take_up, name="labels_take_up"),
    # /put/: things into one place, one after another
    path("put/<int:number>/", views_put.put, name="labels_put"),
    path("put/<int:number>/begin/", views_put.begin, name="labels_put_begin"),
    path("put/end/", views_put.end, name="labels_put_end"),
    path("pick/scanned/", views_put.pick, name="labels_pick"),
    path("pick/scanned-place/", views_put.pick_place, name="labels_pick_place"),
]
