"""What every page may say without its view handing it over."""

from django.conf import settings

from workshop.ledger.roles import LAW, allowed


class May:
    """`{% if may.money %}`: may the person reading this page do that deed?"""

    def __init__(self, member, shop):
        self._member, self._shop = member, shop

    def __getitem__(self, deed: str) -> bool:
        if deed not in LAW:
            raise KeyError(deed)
        return allowed(self._member, deed, self._shop)


def workshop(request):
    shop = getattr(request, "shop", None)
    return {
        "shop": shop,
        "units": getattr(request, "units", None),
        "may": May(getattr(request, "user", None), shop),
        "demo": settings.DEMO,
    }
