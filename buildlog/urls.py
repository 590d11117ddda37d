"""Addresses of the build log, one line a feature."""

from buildlog.keeping.urls import urlpatterns as keeping

app_name = "buildlog"

urlpatterns = [
    *keeping,
]
