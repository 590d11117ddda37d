"""Addresses for coming in and going out, and for who may."""

from django.urls import path

from . import views, views_me, views_pair, views_people, views_sent

urlpatterns = [
    path("setup/", views.set_up, name="people_setup"),
    path("login/", views.login, name="people_login"),
    path("logout/", views.logout, name="people_logout"),
    path("login/sent-before/", views_sent.sent_before, name="people_sent"),
    # /pair/: a phone comes in by a code shown elsewhere
    path("pair/", views_pair.pair, name="people_pair"),
    path("pair/new/", views_pair.let_in, name="people_let_in"),
    path("pair/<int:number>/", views_pair.state, name="people_pair_state"),
    path("desk/", views_pair.desk, name="people_desk"),
    # /me/
    path("me/", views_me.me, name="people_me"),
    path("me/name/", views_me.name, name="people_name"),
    path("me/password/", views_me.password, name="people_password"),
    path("me/devices/<int:number>/", views_me.device, name="people_device"),
    path("me/devices/<int:number>/out/", views_me.device_out, name="people_device_out"),
    path("me/devices/out/", views_me.others_out, name="people_others_out"),
    # /people/
    path("people/", views_people.people, name="people_list"),
    path("people/new/", views_people.new, name="people_new"),
    path("people/<int:number>/", views_people.detail, name="people_detail"),
    path("people/<int:number>/invite/", views_pair.invite, name="people_invite"),
    path("people/<int:number>/off/", views_people.off, name="people_off"),
    path("people/<int:number>/on/", views_people.on, name="people_on"),
    path("people/<int:number>/out/", views_people.devices_out, name="people_devices_out"),
]
