"""Addresses of the practice's beginning, settings and members."""

from __future__ import annotations

from django.urls import path

from countermove.clinic.practice import catalogue_views, member_views, views

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
    path("practice/<int:pk>/catalogue/", catalogue_views.catalogue, name="catalogue"),
    path(
        "practice/<int:pk>/catalogue/numbers/<str:file>/",
        catalogue_views.numbers,
        name="catalogue_numbers",
    ),
    path(
        "practice/<int:pk>/catalogue/own/<str:kind>/", catalogue_views.entry_new, name="entry_new"
    ),
    path(
        "practice/<int:pk>/catalogue/own/<str:kind>/<slug:key>/",
        catalogue_views.entry,
        name="entry",
    ),
    path(
        "practice/<int:pk>/catalogue/own/<str:kind>/<slug:key>/change/",
        catalogue_views.entry_change,
        name="entry_change",
    ),
    path(
        "practice/<int:pk>/catalogue/own/<str:kind>/<slug:key>/withdraw/",
        catalogue_views.entry_withdraw,
        name="entry_withdraw",
    ),
]
