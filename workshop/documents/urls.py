from django.http import HttpResponseNotFound
from django.urls import path

urlpatterns = [
    path("<int:pk>", lambda request, **kw: HttpResponseNotFound(), name="paper"),
    path("<str:kind>/<int:pk>", lambda request, **kw: HttpResponseNotFound(), name="paper-preview"),
]
