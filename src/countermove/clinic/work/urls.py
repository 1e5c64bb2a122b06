"""Addresses of pages that need results."""

from __future__ import annotations

from django.urls import path

from countermove.clinic.work import catalogue_views, hand_out_views, person_views, views

urlpatterns = [
    path("drills/", catalogue_views.drills, name="drills"),
    path("drills/<slug:key>/", catalogue_views.drill, name="drill"),
    path("pictures/", catalogue_views.pictures, name="pictures"),
    path("pictures/<slug:kind>/<slug:key>.svg", catalogue_views.picture_file, name="picture"),
    path("athlete/new/", person_views.add, name="athlete-new"),
    path("athlete/<uuid:key>/", views.athlete, name="athlete"),
    path("athlete/<uuid:key>/hand-out/", hand_out_views.hand_out, name="hand-out"),
    path("athlete/<uuid:key>/edit/", person_views.edit, name="athlete-edit"),
]
