"""Addresses of the plan and its tasks."""

from django.urls import path

from . import views, views_links, views_plan

urlpatterns = [
    # /plan/
    path("plan/", views_plan.plan_page, name="plan"),
    path("plan/add/", views_plan.add, name="tasks_add"),
    # /tasks/<number>/
    path("tasks/<int:number>/", views.detail, name="tasks_detail"),
    path("tasks/<int:number>/edit/", views.edit, name="tasks_edit"),
    path("tasks/<int:number>/mark/<slug:verb>/", views.mark, name="tasks_mark"),
    path("tasks/<int:number>/shift/", views_plan.shift, name="tasks_shift"),
    path("tasks/<int:number>/photos/", views.photos, name="tasks_photos"),
    path("tasks/undo/<uuid:uid>/", views.undo, name="tasks_undo"),
    # what a task hangs together with
    path("tasks/<int:number>/needs/", views_links.needs, name="tasks_needs"),
    path("tasks/<int:number>/needs/<int:need>/remove/", views_links.need_remove, name="tasks_need_remove"),
    path("tasks/<int:number>/parts/", views_links.parts, name="tasks_parts"),
    path("tasks/<int:number>/parts/<int:line>/remove/", views_links.part_remove, name="tasks_part_remove"),
    path("tasks/<int:number>/parts/<int:line>/got/", views_links.part_got, name="tasks_part_got"),
    path("tasks/<int:number>/promises/", views_links.promises, name="tasks_promises"),
    path("tasks/promises/<int:number>/keep/", views_links.promise_keep, name="tasks_promise_keep"),
    path("tasks/promises/<int:number>/remove/", views_links.promise_remove, name="tasks_promise_remove"),
    path("tasks/<int:number>/split/", views_links.split, name="tasks_split"),
    path("tasks/<int:number>/join/", views_links.join, name="tasks_join"),
    # /pick/: what typed text may mean, as choices
    path("pick/task/", views_links.pick, name="tasks_pick"),
    path("pick/task-part/", views_links.pick_part, name="tasks_pick_part"),
]
