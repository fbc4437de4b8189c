"""Pages for when something is not there, not allowed, or broke."""

from django.shortcuts import render


def forbidden(request, exception=None):
    return render(request, "pages/forbidden.html", {"why": str(exception or "")}, status=403)


def not_found(request, exception=None):
    return render(request, "pages/not_found.html", status=404)


def broken(request):
    return render(request, "pages/broken.html", status=500)
