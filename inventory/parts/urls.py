"""Addresses of parts and of what is done with them."""

from django.urls import path

from . import views, views_moves, views_picks

urlpatterns = [
    # /parts/
    path("parts/", views.part_list, name="parts_list"),
    path("parts/new/", views.new, name="parts_new"),
    path("parts/<int:number>/", views.detail, name="parts_detail"),
    path("parts/<int:number>/edit/", views.edit, name="parts_edit"),
    path("parts/<int:number>/merge/", views.merge, name="parts_merge"),
    path("parts/<int:number>/retire/", views.retire, name="parts_retire"),
    path("parts/<int:number>/bring-back/", views.bring_back, name="parts_bring_back"),
    # /move/: one screen a verb; ?place= and ?part= say what is known already
    path("move/put-in/", views_moves.put_in, name="parts_put_in"),
    path("move/take-out/", views_moves.take_out, name="parts_take_out"),
    path("move/leave/", views_moves.leave, name="parts_leave"),
    path("move/correct/", views_moves.correct, name="parts_correct"),
    path("move/count/", views_moves.count, name="parts_count"),
    path("move/several/", views_moves.several, name="parts_move_many"),
    path("move/empty/", views_moves.empty, name="parts_empty"),
    path("move/undo/<uuid:uid>/", views_moves.undo, name="parts_undo"),
    path("move/lately/", views_moves.lately, name="parts_lately"),
    # /pick/: what typed text may mean, as choices
    path("pick/part/", views_picks.pick_part, name="parts_pick_part"),
    path("pick/to-put-in/", views_picks.pick_to_put_in, name="parts_pick_to_put_in"),
    path("pick/place/", views_picks.pick_place, name="parts_pick_place"),
]
