"""Addresses of builds and areas."""

from django.urls import path

from . import views

urlpatterns = [
    # /builds/
    path("builds/", views.build_list, name="builds_list"),
    path("builds/new/", views.new, name="builds_new"),
    path("builds/<str:code>/", views.detail, name="builds_detail"),
    path("builds/<str:code>/edit/", views.edit, name="builds_edit"),
    path("builds/<str:code>/remove/", views.remove, name="builds_remove"),
    path("builds/<str:code>/work-on/", views.work_on, name="builds_work_on"),
    # /builds/<code>/areas/
    path("builds/<str:code>/areas/", views.areas, name="builds_areas"),
    path("builds/<str:code>/areas/<int:number>/", views.area_edit, name="builds_area_edit"),
    path("builds/<str:code>/areas/<int:number>/shift/", views.area_shift, name="builds_area_shift"),
    path("builds/<str:code>/areas/<int:number>/remove/", views.area_remove, name="builds_area_remove"),
]
