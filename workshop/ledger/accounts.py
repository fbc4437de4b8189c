"""Signing in and out."""

from django.contrib.auth.views import LoginView, LogoutView

sign_in = LoginView.as_view(template_name="ledger/sign_in.html", redirect_authenticated_user=True)
sign_out = LogoutView.as_view()
