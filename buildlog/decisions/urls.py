"""Addresses of decisions."""

from django.urls import path

from . import views

urlpatterns = [
    # /decisions/
    path("decisions/", views.decision_list, name="decisions_list"),
    path("decisions/new/", views.new, name="decisions_new"),
    path("decisions/<int:number>/", views.detail, name="decisions_detail"),
    path("decisions/<int:number>/edit/", views.edit, name="decisions_edit"),
    path("decisions/<int:number>/reopen/", views.reopen, name="decisions_reopen"),
    path("decisions/<int:number>/options/new/", views.option, name="decisions_option_new"),
    path("decisions/<int:number>/options/<int:option>/", views.option, name="decisions_option_edit"),
    path("decisions/<int:number>/options/<int:option>/remove/", views.option_remove, name="decisions_option_remove"),
    path("decisions/<int:number>/options/<int:option>/photos/", views.option_photos, name="decisions_option_photos"),
]
