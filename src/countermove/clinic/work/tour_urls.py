"""The clinic's addresses and the tour: only a demo is served from here."""

from __future__ import annotations

from django.urls import include, path

from countermove.clinic.work.tour_views import tour

urlpatterns = [
    path("tour/", tour, name="tour"),
    path("", include("countermove.clinic.urls")),
]
