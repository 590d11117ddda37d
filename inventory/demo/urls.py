"""Address of the demo shop."""

from django.urls import path

from . import views

urlpatterns = [
    # /demo/
    path("demo/", views.demo, name="demo"),
]
