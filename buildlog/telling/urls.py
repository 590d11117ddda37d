"""Addresses of stories."""

from django.urls import path, re_path

from . import views, views_arrange, views_out, views_pictures, views_record, views_share, views_video

urlpatterns = [
    # /tell/
    path("tell/", views.stories, name="stories_list"),
    path("tell/new/", views.new, name="stories_new"),
    path("tell/<int:number>/", views.detail, name="stories_detail"),
    path("tell/<int:number>/title/", views.title, name="stories_title"),
    path("tell/<int:number>/delete/", views.delete, name="stories_delete"),
    path("tell/<int:number>/bring-back/", views.bring_back, name="stories_bring_back"),
    path("tell/<int:number>/take-up/", views.take_up, name="stories_take_up"),
    path("tell/<int:number>/add/", views_arrange.add, name="stories_add"),
    path("tell/<int:number>/preview/", views.preview, name="stories_preview"),
    path("tell/<int:number>/out/", views_out.out, name="stories_out"),
    path("tell/<int:number>/post.zip", views_out.post, name="stories_post"),
    path("tell/<int:number>/story.md", views_out.post_text, name="stories_post_text"),
    re_path(r"^tell/(?P<number>[0-9]{1,18})/story\.(?P<kind>csv|json)$", views_out.data, name="stories_data"),
    path("tell/site/", views_out.site, name="stories_site"),
    re_path(r"^tell/log/(?P<code>[A-Za-z0-9-]+)\.(?P<kind>csv|json)$", views_out.log, name="log_data"),
    path("tell/<int:number>/video/", views_video.film, name="video"),
    path("tell/<int:number>/video/<str:name>", views_video.text, name="video_text"),
    re_path(
        r"^tell/(?P<number>[0-9]{1,18})/shots-(?P<order>story|filming)\.csv$", views_video.shots, name="video_shots"
    ),
    path("tell/<int:number>/share/", views_share.share, name="stories_share"),
    path("tell/<int:number>/pictures/", views_pictures.gallery, name="story_pictures"),
    path("tell/<int:number>/pair/", views_pictures.pair, name="story_pair"),
    re_path(
        r"^tell/(?P<number>[0-9]{1,18})/(?P<name>hours|network|origins|pair-[0-9]{1,4})\.(?P<kind>svg|png)$",
        views_pictures.drawing,
        name="story_drawing",
    ),
    # /told/: what strangers may read
    re_path(r"^told/(?P<key>[A-Za-z0-9_-]{20,64})/$", views_share.shared, name="shared"),
    re_path(
        r"^told/(?P<key>[A-Za-z0-9_-]{20,64})/(?P<name>[0-9]{3,5}\.webp)$", views_share.picture, name="shared_picture"
    ),
    # /record/
    path("record/", views_record.record, name="record"),
    path("record/<uuid:uid>/", views_record.run, name="record_run"),
    path("record/<uuid:uid>/record.pdf", views_record.file, name="record_file"),
    # /piece/
    path("piece/<int:number>/leave/", views_arrange.leave, name="pieces_leave"),
    path("piece/<int:number>/photo/", views_arrange.leave_photo, name="pieces_photo"),
    path("piece/<int:number>/write/", views_arrange.write, name="pieces_write"),
    path("piece/<int:number>/shift/", views_arrange.shift, name="pieces_shift"),
    path("piece/<int:number>/shot/", views_video.shot, name="pieces_shot"),
    path("piece/<int:number>/starts/", views_video.starts, name="pieces_starts"),
    path("piece/<int:number>/remove/", views_arrange.remove, name="pieces_remove"),
]
