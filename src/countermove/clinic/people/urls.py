"""Addresses of the list of people."""

from __future__ import annotations

from django.urls import path

from countermove.clinic.people import views

urlpatterns = [path("", views.people, name="people")]
