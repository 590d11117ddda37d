"""Addresses of donors and of what came off them."""

from django.urls import path

from . import views, views_keep, views_pull

urlpatterns = [
    # /donors/
    path("donors/", views.donor_list, name="donors_list"),
    path("donors/new/", views.new, name="donors_new"),
    path("donors/<int:number>/", views.detail, name="donors_detail"),
    path("donors/<int:number>/edit/", views.edit, name="donors_edit"),
    path("donors/<int:number>/cautions/", views.cautions, name="donors_cautions"),
    path("donors/<int:number>/wanted/", views.wanted, name="donors_wanted"),
    path("donors/<int:number>/pull/", views_pull.pull, name="donors_pull"),
    path("donors/<int:number>/pick/", views_pull.pick, name="donors_pick"),
    path("donors/<int:number>/photos/", views_keep.photos, name="donors_photos"),
    path("donors/<int:number>/papers/", views_keep.papers, name="donors_papers"),
    path("donors/<int:number>/money/", views_keep.money, name="donors_money"),
    path("donors/<int:number>/donor.pdf", views_keep.on_paper, name="donors_on_paper"),
    # /donors/…: one row of a donor's lists
    path("donors/wants/<int:number>/", views.want, name="donors_want"),
    path("donors/costs/<int:number>/remove/", views_keep.remove_cost, name="donors_remove_cost"),
    path("donors/papers/<uuid:uid>.pdf", views_keep.paper_file, name="donors_paper_file"),
    path("donors/papers/<uuid:uid>/remove/", views_keep.remove_paper, name="donors_remove_paper"),
    path("donors/pulls/<int:number>/", views_pull.pull_detail, name="donors_pull_detail"),
    path("donors/pulls/<int:number>/bag/", views_pull.bag, name="donors_bag"),
    # /parts/<number>/
    path("parts/<int:number>/made-after/", views_pull.made_after, name="donors_made_after"),
]
