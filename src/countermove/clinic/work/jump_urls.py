"""Addresses of the jump; a recording goes by the random key it was sent as."""

from __future__ import annotations

from django.urls import path

from countermove.clinic.work import jump_views as views

urlpatterns = [
    path("visit/<uuid:key>/recordings/", views.recordings, name="visit-recordings"),
    path("visit/<uuid:key>/recordings/<uuid:word>/", views.settle, name="recording-settle"),
    path("recording/<uuid:key>/<int:number>/", views.trace, name="trace"),
    path("recording/<uuid:key>/<int:number>/data/", views.trace_data, name="trace-data"),
]
