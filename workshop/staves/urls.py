from django.urls import path

from workshop.staves.views import fellings, pieces, places, readings, rounds, timbers

urlpatterns = [
    path("", pieces.store_list, name="wood"),
    path("pieces/<int:pk>", pieces.show, name="stave"),
    path("pieces/<int:pk>/change", pieces.change, name="stave-change"),
    path("pieces/<int:pk>/split", pieces.split, name="stave-split"),
    path("pieces/<int:pk>/carry", pieces.carry, name="stave-carry"),
    path("pieces/<int:pk>/state", pieces.step, name="stave-step"),
    path("pieces/<int:pk>/photo", readings.add_photo, name="stave-photo-add"),
    path("pieces/<int:pk>/write/<slug:kind>", readings.add, name="stave-reading-add"),
    path("flaws/<int:pk>/settle", readings.settle_flaw, name="flaw-settle"),
    path("round", rounds.walk, name="meter-round"),
    path("round/<int:pk>", rounds.write, name="meter-round-write"),
    path("fellings", fellings.index, name="fellings"),
    path("fellings/add", fellings.add, name="felling-add"),
    path("fellings/<int:pk>", fellings.show, name="felling"),
    path("fellings/<int:pk>/change", fellings.change, name="felling-change"),
    path("fellings/<int:pk>/pieces", fellings.add_pieces, name="felling-pieces-add"),
    path("timbers", timbers.index, name="timbers"),
    path("timbers/add", timbers.add, name="timber-add"),
    path("timbers/<int:pk>", timbers.show, name="timber"),
    path("timbers/<int:pk>/change", timbers.change, name="timber-change"),
    path("timbers/<int:pk>/value/<slug:quantity>", timbers.add_value, name="timber-value-add"),
    path("places", places.index, name="places"),
    path("places/add", places.add, name="place-add"),
    path("places/<int:pk>", places.show, name="place"),
    path("places/<int:pk>/change", places.change, name="place-change"),
    path("places/<int:pk>/climate", places.add_climate, name="climate-add"),
]
