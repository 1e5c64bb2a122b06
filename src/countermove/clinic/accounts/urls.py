"""Addresses of coming in and of one's own account. There is no sign-up and no e-mail."""

from __future__ import annotations

from allauth.account import views as account
from django.urls import include, path

from countermove.clinic.accounts import views

urlpatterns = [
    path("login/", views.login, name="account_login"),
    path("logout/", account.logout, name="account_logout"),
    path("confirm/", account.reauthenticate, name="account_reauthenticate"),
    path("password/", account.password_change, name="account_change_password"),
    path("token/", views.token_password, name="account_token"),
    path("own/", views.own_settings, name="account_own"),
    path("inactive/", account.account_inactive, name="account_inactive"),
    path("2fa/", include("allauth.mfa.urls")),
]
