"""Addresses of bringing a list in and taking everything out."""

from django.urls import path

from . import views, views_export

urlpatterns = [
    # /import/: choose, columns, look, bring in
    path("import/", views.start, name="importing_start"),
    path("import/<uuid:uid>/columns/", views.columns, name="importing_columns"),
    path("import/<uuid:uid>/check/", views.check, name="importing_check"),
    path("import/<uuid:uid>/run/", views.run, name="importing_run"),
    path("import/<uuid:uid>/progress/", views.progress, name="importing_progress"),
    path("import/<uuid:uid>/undo/", views.undo, name="importing_undo"),
    path("import/<uuid:uid>/discard/", views.discard, name="importing_discard"),
    # /export/
    path("export/", views_export.export, name="importing_export"),
    path("export/<slug:what>.csv", views_export.as_csv, name="importing_export_csv"),
    path("export/<slug:what>.json", views_export.as_json, name="importing_export_json"),
]
