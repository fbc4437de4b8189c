"""Every address of the ledger. One list, so that a test can walk it for every role."""

from django.urls import include, path

urlpatterns = [
    path("", include("workshop.ledger.urls")),
    path("wood/", include("workshop.staves.urls")),
    path("bench/", include("workshop.bows.urls")),
    path("orders/", include("workshop.orders.urls")),
    path("papers/", include("workshop.documents.urls")),
    path("", include("workshop.documents.urls_short")),
    path("photos/", include("workshop.photos.urls")),
    path("", include("workshop.pages.urls")),
]

handler400 = "workshop.pages.trouble.unreadable"
handler403 = "workshop.pages.trouble.forbidden"
handler404 = "workshop.pages.trouble.not_found"
handler500 = "workshop.pages.trouble.broken"
