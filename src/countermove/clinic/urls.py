"""Addresses. None carries health data: athletes and visits go by random keys."""

from __future__ import annotations

from django.templatetags.static import static
from django.urls import include, path
from django.views.generic import RedirectView

from countermove.clinic.work.access_log_views import access_log

urlpatterns = [
    # Asked for by browsers where no page names the mark, as beside a PDF.
    path("favicon.ico", RedirectView.as_view(url=static("favicon.svg")), name="favicon"),
    path("account/", include("countermove.clinic.accounts.urls")),
    path("", include("countermove.clinic.practice.urls")),
    path("practice/<int:pk>/log/", access_log, name="access_log"),
    path("", include("countermove.clinic.work.urls")),
    path("", include("countermove.clinic.people.urls")),
    path("", include("countermove.clinic.work.jump_urls")),
    path("", include("countermove.clinic.work.jobs_urls")),
    path("", include("countermove.clinic.work.visit_urls")),
]
