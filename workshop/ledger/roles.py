"""Who may do what. The table is the law; views ask it through `@may`, pages through `{% if may.money %}`."""

from collections.abc import Callable
from functools import wraps

from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.utils.translation import gettext as _

from workshop.ledger.ways import page_of

OWNER, MAKER, HELPER = "owner", "maker", "helper"

LAW: dict[str, frozenset[str]] = {
    "look": frozenset({OWNER, MAKER, HELPER}),
    "read": frozenset({OWNER, MAKER, HELPER}),  # readings, work, photos, weigh-ins
    "strike": frozenset({OWNER, MAKER, HELPER}),  # a helper only its own, the same day: see `may_strike`
    "stage": frozenset({OWNER, MAKER, HELPER}),
    "record": frozenset({OWNER, MAKER}),  # staves, bows: make, change, cull
    "orders": frozenset({OWNER, MAKER}),  # archers, orders, papers
    "money": frozenset({OWNER}),  # and makers, where the workshop's setting says so
    "settings": frozenset({OWNER}),  # settings, people, backup, restore, nameless
}


def allowed(member, deed: str, shop=None) -> bool:
    """Whether `member` may do `deed`."""
    if not getattr(member, "is_authenticated", False) or not member.is_active:
        return False
    if deed == "money" and member.role == MAKER:
        return bool(shop and shop.makers_see_money)
    return member.role in LAW[deed]


def may(deed: str) -> Callable:
    """Let a view run only for those who may do `deed`; others are asked to sign in, or told no."""

    def guard(view):
        @wraps(view)
        def guarded(request, *args, **kwargs):
            if not request.user.is_authenticated:
                return redirect_to_login(page_of(request))
            if not allowed(request.user, deed, request.shop):
                raise PermissionDenied(
                    _("This is not for a %(role)s.") % {"role": request.user.get_role_display()}
                )
            return view(request, *args, **kwargs)

        guarded.deed = deed
        return guarded

    return guard


def may_strike(member, entry, today) -> bool:
    """An owner or maker strikes any entry; a helper its own, on the day it was entered (the workshop's day)."""
    if member.role != HELPER:
        return True
    from django.utils import timezone

    return entry.entered_by_id == member.pk and timezone.localtime(entry.entered_at).date() == today
