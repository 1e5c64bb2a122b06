"""Addresses of the practice's beginning, settings and members."""

from __future__ import annotations

from django.urls import path

from countermove.clinic.practice import member_views, views

urlpatterns = [
    path("start/", views.start, name="start"),
    path("practice/", views.practice, name="practice"),
    path("practice/<int:pk>/", views.site_settings, name="practice_site"),
    path("practice/<int:pk>/members/", member_views.members, name="practice_members"),
    path("practice/<int:pk>/members/<int:user_pk>/role/", member_views.role, name="practice_role"),
    path(
        "practice/<int:pk>/members/<int:user_pk>/remove/",
        member_views.remove,
        name="practice_remove",
    ),
    path(
        "practice/<int:pk>/members/<int:user_pk>/token/",
        member_views.new_token,
        name="practice_token",
    ),
]
