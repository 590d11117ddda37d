"""The root of all addresses: it only includes."""

from django.urls import include, path

urlpatterns = [
    path("", include("buildlog.urls")),
    path("", include("inventory.urls")),
]

handler400 = "buildlog.config.errors.bad_request"
handler403 = "inventory.web.errors.forbidden"
handler404 = "inventory.web.errors.not_found"
handler500 = "inventory.web.errors.broken"
