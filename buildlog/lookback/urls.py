"""Addresses of looking back."""

from django.urls import path

from . import views

urlpatterns = [
    path("sessions/", views.nights, name="sessions_list"),
    path("log/", views.log, name="log"),
]
