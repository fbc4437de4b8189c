"""The short addresses in the codes on papers. They stand on paper for decades: never change them."""

from django.urls import path

from workshop.documents.views import short

urlpatterns = [
    path("s/<path:tag>", short.stave, name="short-stave"),
    path("b/<path:number>", short.bow, name="short-bow"),
    path("o/<path:number>", short.order, name="short-order"),
]
