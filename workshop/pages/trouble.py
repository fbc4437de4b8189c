"""Pages for when something is not there, not allowed, cannot be read, or broke. Each says what to do next."""

from django.core.exceptions import DisallowedHost, RequestDataTooBig, TooManyFieldsSent, TooManyFilesSent
from django.shortcuts import render
from django.templatetags.static import static

TOO_MUCH = (RequestDataTooBig, TooManyFieldsSent, TooManyFilesSent)


def unreadable(request, exception=None):
    """A request that is no request of the ledger's: too much at once, or sent to a name that is not its own."""
    if isinstance(exception, TOO_MUCH):
        return render(request, "pages/too_much.html", status=413)
    stranger = isinstance(exception, DisallowedHost)
    return render(request, "pages/unreadable.html", {"stranger": stranger}, status=400)


def forbidden(request, exception=None):
    return render(request, "pages/forbidden.html", {"why": str(exception or "")}, status=403)


def unsigned(request, reason=""):
    """A form without the ledger's stamp (CSRF): it stood open too long, or came from somewhere else."""
    return render(request, "pages/unsigned.html", status=403)


def not_found(request, exception=None):
    return render(request, "pages/not_found.html", status=404)


def broken(request):
    """Leans on as little as can be: no query, and no style sheet where there is none to be found."""
    try:
        style = static("css/ledger.css")
    except ValueError:  # the list of static files is what is broken
        style = ""
    return render(request, "pages/broken.html", {"style": style}, status=500)
