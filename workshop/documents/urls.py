from django.urls import path

from workshop.documents.views import issued, preview, tags

urlpatterns = [
    path("<int:pk>", issued.show, name="paper"),
    path("stave-tags", tags.choose, name="stave-tags"),
    path("stave-tags/print", tags.sheet, name="stave-tags-print"),
    path("<slug:kind>/<int:pk>", preview.preview, name="paper-preview"),
    path("<slug:kind>/<int:pk>/issue", preview.issue, name="paper-issue"),
    path("<slug:kind>/<int:pk>/print", preview.print_draft, name="paper-draft"),
]
