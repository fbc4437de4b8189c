"""Ways back: where somebody was, as an address that can be asked for again."""

from urllib.parse import urlsplit

from django.utils.http import url_has_allowed_host_and_scheme


def is_own(request, address: str) -> bool:
    """Whether the address leads to a page of this ledger."""
    return url_has_allowed_host_and_scheme(address, {request.get_host()}, require_https=request.is_secure())


def back_to(request, fallback: str) -> str:
    """Where the page was left, if that is one of our own."""
    there = request.POST.get("next") or request.GET.get("next") or ""
    return there if is_own(request, there) else fallback


def page_of(request) -> str:
    """The page somebody is on. A form goes to an address that may take forms alone; the page it was sent from,
    and into which htmx puts what comes back, is another."""
    if getattr(request, "htmx", False):
        sent_from = request.htmx.current_url_abs_path or ""
    else:
        sent_from = "" if request.method in ("GET", "HEAD") else request.headers.get("Referer", "")
    if not is_own(request, sent_from):
        return request.get_full_path()
    page = urlsplit(sent_from)
    return page.path + (f"?{page.query}" if page.query else "")
