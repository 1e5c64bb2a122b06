"""Addresses of slow work: jobs go by random keys."""

from __future__ import annotations

from django.urls import path

from countermove.clinic.work import jobs_views as views

urlpatterns = [
    path("athlete/<uuid:key>/analyse-again/", views.analyse_again, name="analyse-again"),
    path("jobs/", views.every, name="jobs"),
    path("job/<uuid:key>/", views.job, name="job"),
    path("job/<uuid:key>/stop/", views.stop, name="job-stop"),
]
