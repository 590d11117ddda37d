"""Addresses of the build log, one line a feature."""

app_name = "buildlog"

urlpatterns: list = []
