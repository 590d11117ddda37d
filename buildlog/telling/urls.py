"""Addresses of stories."""

from django.urls import path

from . import views, views_arrange

urlpatterns = [
    # /tell/
    path("tell/", views.stories, name="stories_list"),
    path("tell/new/", views.new, name="stories_new"),
    path("tell/<int:number>/", views.detail, name="stories_detail"),
    path("tell/<int:number>/title/", views.title, name="stories_title"),
    path("tell/<int:number>/delete/", views.delete, name="stories_delete"),
    path("tell/<int:number>/take-up/", views.take_up, name="stories_take_up"),
    path("tell/<int:number>/add/", views_arrange.add, name="stories_add"),
    path("tell/<int:number>/preview/", views.preview, name="stories_preview"),
    # /piece/
    path("piece/<int:number>/leave/", views_arrange.leave, name="pieces_leave"),
    path("piece/<int:number>/photo/", views_arrange.leave_photo, name="pieces_photo"),
    path("piece/<int:number>/write/", views_arrange.write, name="pieces_write"),
    path("piece/<int:number>/shift/", views_arrange.shift, name="pieces_shift"),
    path("piece/<int:number>/remove/", views_arrange.remove, name="pieces_remove"),
]
