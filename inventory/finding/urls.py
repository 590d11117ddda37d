"""Addresses of finding."""

from django.urls import path

from . import views

urlpatterns = [
    path("find/", views.find, name="find"),
    # /find/words/: the shop's own words for the same thing
    path("find/words/", views.words, name="find_words"),
    path("find/words/again/", views.words_again, name="find_words_again"),
    path("find/words/<int:number>/", views.words_edit, name="find_words_edit"),
    path("find/words/<int:number>/remove/", views.words_remove, name="find_words_remove"),
]
