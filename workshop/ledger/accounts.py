"""Signing in and out."""

from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView, LogoutView
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from workshop.ledger.refusals import put_words


class SignInForm(AuthenticationForm):
    """The name is taken in small letters, so that the lock-out counts WILMA and wilma as one."""

    error_messages = {
        "invalid_login": gettext_lazy(
            "This name and password do not open the ledger. Capitals count in the password."
        ),
        "inactive": gettext_lazy("This account is closed. The owner of the workshop can open it again."),
    }

    def __init__(self, *args, **kwargs):
        kwargs.setdefault("label_suffix", "")
        super().__init__(*args, **kwargs)
        self.fields["username"].label = gettext_lazy("Sign-in name")
        self.fields["username"].wanted = gettext_lazy("Write your sign-in name here.")
        self.fields["password"].label = gettext_lazy("Password")
        self.fields["password"].wanted = gettext_lazy("Write your password here.")
        put_words(self)

    def clean_username(self):
        return self.cleaned_data["username"].lower()


class SignIn(LoginView):
    template_name = "ledger/sign_in.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True

    def form_invalid(self, form):
        response = super().form_invalid(form)
        response.status_code = 422
        return response


sign_in = require_http_methods(["GET", "HEAD", "POST"])(SignIn.as_view())
sign_out = LogoutView.as_view()
