"""Addresses. None carries health data: athletes and visits go by random keys."""

from __future__ import annotations

from allauth.account import views as account
from django.urls import include, path

urlpatterns = [
    path("account/login/", account.login, name="account_login"),
    path("account/logout/", account.logout, name="account_logout"),
    path("account/confirm/", account.reauthenticate, name="account_reauthenticate"),
    path("account/password/", account.password_change, name="account_change_password"),
    path("account/2fa/", include("allauth.mfa.urls")),
]
