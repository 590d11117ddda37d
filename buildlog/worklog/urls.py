"""Addresses of Tonight, the sessions and the lines of the log."""

from django.urls import path

from . import views, views_entries, views_sessions

urlpatterns = [
    # /tonight/
    path("tonight/", views.tonight, name="tonight"),
    path("tonight/start/", views.start, name="tonight_start"),
    path("tonight/stop/", views.stop, name="tonight_stop"),
    path("tonight/log/", views.log, name="tonight_log"),
    path("tonight/task/<int:number>/<slug:verb>/", views.mark, name="tonight_mark"),
    # /sessions/
    path("sessions/remember/", views_sessions.remember, name="sessions_remember"),
    path("sessions/<int:number>/", views_sessions.detail, name="sessions_detail"),
    path("sessions/<int:number>/add/", views_sessions.add, name="sessions_add"),
    path("sessions/<int:number>/edit/", views_sessions.edit, name="sessions_edit"),
    path("sessions/<int:number>/stop/", views_sessions.stop, name="sessions_stop"),
    path("sessions/<int:number>/stop/guess/", views_sessions.stop_as_guessed, name="sessions_stop_guess"),
    path("sessions/<int:number>/go-on/", views_sessions.go_on, name="sessions_go_on"),
    # /log/: one line
    path("log/<int:number>/", views_entries.detail, name="entries_detail"),
    path("log/<int:number>/strike/", views_entries.strike, name="entries_strike"),
    path("log/<int:number>/strike/back/", views_entries.unstrike, name="entries_unstrike"),
    path("log/<int:number>/task/", views_entries.make_task, name="entries_make_task"),
    path("log/<int:number>/no-task/", views_entries.unmake_task, name="entries_unmake_task"),
    path("log/<int:number>/take-back/", views_entries.take_back, name="entries_take_back"),
    # /pick/: what typed text may mean, as choices
    path("pick/log-part/", views.pick, name="worklog_pick"),
]
