"""Addresses for coming in and going out."""

from django.urls import path

from . import views

urlpatterns = [
    # /login/
    path("login/", views.login, name="people_login"),
    path("logout/", views.logout, name="people_logout"),
]
