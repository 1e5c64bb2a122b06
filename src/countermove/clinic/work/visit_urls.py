"""Addresses of clearance and visits: random keys and names of tests, no health data."""

from __future__ import annotations

from django.urls import path

from countermove.clinic.work import (
    card_views,
    clearance_views,
    follow_up_views,
    template_views,
    visit_views,
)

urlpatterns = [
    path("athlete/<uuid:key>/clearance/", clearance_views.clearance, name="clearance"),
    path(
        "athlete/<uuid:key>/clearance/sheet/",
        clearance_views.clearance_sheet,
        name="clearance-sheet",
    ),
    path(
        "athlete/<uuid:key>/clearance/sign/",
        clearance_views.clearance_sign,
        name="clearance-sign",
    ),
    path(
        "athlete/<uuid:key>/clearance/add/",
        clearance_views.clearance_add,
        name="clearance-add",
    ),
    path(
        "athlete/<uuid:key>/clearance/override/",
        clearance_views.clearance_override,
        name="clearance-override",
    ),
    path("athlete/<uuid:key>/consent/", clearance_views.consent, name="consent"),
    path("athlete/<uuid:key>/visit/", visit_views.visit_new, name="visit-new"),
    path("athlete/<uuid:key>/follow-up/", follow_up_views.follow_up_new, name="follow-up-new"),
    path("practice/<int:pk>/templates/", template_views.templates, name="templates"),
    path("practice/<int:pk>/templates/new/", template_views.template, name="template-new"),
    path("practice/<int:pk>/templates/<int:row>/", template_views.template, name="template"),
    path(
        "practice/<int:pk>/templates/<int:row>/withdraw/",
        template_views.template_withdraw,
        name="template-withdraw",
    ),
    path("picture/<slug:test>/", visit_views.test_picture, name="test-picture"),
    path("visit/<uuid:key>/", visit_views.visit, name="visit"),
    path("visit/<uuid:key>/words/", visit_views.visit_words, name="visit-words"),
    path("visit/<uuid:key>/note/", visit_views.visit_note, name="visit-note"),
    path("visit/<uuid:key>/entry/", card_views.card, name="card"),
    path("visit/<uuid:key>/open/", card_views.card_open, name="card-open"),
    path("visit/<uuid:key>/work/", follow_up_views.work, name="visit-work"),
    path("visit/<uuid:key>/drill/", follow_up_views.change_drill, name="change-drill"),
    path("visit/<uuid:key>/drill/back/", follow_up_views.take_back, name="change-back"),
    path("visit/<uuid:key>/withdraw/", card_views.withdraw, name="withdraw"),
    path("visit/<uuid:key>/treat/", card_views.treat, name="treat"),
    path("visit/<uuid:key>/keep-or-drop/", card_views.keep_or_drop, name="keep-or-drop"),
]
