"""Addresses of the list of people and of calls."""

from __future__ import annotations

from django.urls import path

from countermove.clinic.people import call_views, views

urlpatterns = [
    path("", views.people, name="people"),
    path("athlete/<uuid:key>/called/", call_views.done, name="call-done"),
    path("athlete/<uuid:key>/called/<int:pk>/undo/", call_views.undo, name="call-undo"),
]
